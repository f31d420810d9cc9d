import { marks } from '../../view/words/mark.ts';
import { resultWords, unverified } from '../../view/words/result.ts';
import type { ReportData } from '../report-data.ts';
import { toneClass } from './outcome.tsx';

/** What a customer wants: what was wrong, what was done, is it right now. */
export function CustomerPart({ data }: { data: ReportData }) {
  const { state, short, verified } = data;
  const { word, mark, tone } = verified.ok ? resultWords[state.result] : unverified;
  return (
    <section className="for-customer">
      <p className={`verdict ${toneClass(tone)}`}>
        <span aria-hidden="true">{marks[mark].unicode} </span>
        {word}
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
