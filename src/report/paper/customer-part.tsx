import { resultWords } from '../../view/words/result.ts';
import type { ReportData } from '../report-data.ts';

const tones = {
  passed: 'good',
  repaired: 'good',
  failed: 'bad',
  'no-fault-found': 'open',
  inconclusive: 'open',
  abandoned: 'open',
} as const;
const marks = { good: '\u2713', bad: '\u2717', open: '?' } as const;

/** What a customer wants: what was wrong, what was done, is it right now. */
export function CustomerPart({ data }: { data: ReportData }) {
  const { state, short, verified } = data;
  const tone = verified.ok ? tones[state.result] : 'bad';
  return (
    <section className="for-customer">
      <p className={`verdict tone-${tone}`}>
        <span aria-hidden="true">{marks[tone]} </span>
        {verified.ok ? resultWords[state.result].word : 'this record does not verify'}
      </p>
      {!verified.ok && (
        <p className="warning">
          The record behind this page was changed or damaged, or does not bear out what it claims. Nothing on this page
          is to be relied on; what does not hold stands under &ldquo;How to check this record&rdquo;.
        </p>
      )}
      <div className="short">
        <Short title="What was wrong" lines={short.wrong} />
        <Short title="What was done" lines={short.done} />
        <Short title="Is it right now?" lines={short.now} />
      </div>
    </section>
  );
}

function Short({ title, lines }: { title: string; lines: readonly string[] }) {
  return (
    <section>
      <h2>{title}</h2>
      {lines.map((line) => (
        <p key={line}>{line}</p>
      ))}
    </section>
  );
}
