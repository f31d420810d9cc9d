import type { ReportData } from '../report-data.ts';
import { resultWords } from '../result-words.ts';

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
  const { state, short } = data;
  const tone = tones[state.result];
  return (
    <section className="for-customer">
      <p className={`verdict tone-${tone}`}>
        <span aria-hidden="true">{marks[tone]} </span>
        {resultWords[state.result].word}
      </p>
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
