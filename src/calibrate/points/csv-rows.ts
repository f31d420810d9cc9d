/** One row of a CSV file. `line`: where it begins, from 1. */
interface CsvRow {
  line: number;
  fields: string[];
}

export type CsvRows = { ok: true; rows: CsvRow[] } | { ok: false; line: number; what: string };

/**
 * Returns the rows of a text in CSV (RFC 4180: commas, fields in double quotes where they hold
 * commas, quotes or line ends), fields trimmed outside quotes. Empty lines and lines that begin
 * with `#` are passed over. Semicolons in place of commas are recognised by the first row.
 */
export function csvRows(text: string): CsvRows {
  const input = text.replace(/^\uFEFF/, '');
  const separator = separatorOf(input);
  const rows: CsvRow[] = [];
  let line = 1;
  let at = 0;
  while (at < input.length) {
    const begun = line;
    if (input[at] === '#') {
      while (at < input.length && input[at] !== '\n') at++;
      at++;
      line++;
      continue;
    }
    const fields: string[] = [];
    for (;;) {
      const field = readField();
      if (field === null)
        return { ok: false, line: begun, what: 'a quoted field is not closed, or goes on after its quote' };
      fields.push(field);
      if (input[at] !== separator) break;
      at++;
    }
    if (input[at] === '\r') at++;
    at++;
    line++;
    if (fields.length > 1 || fields[0] !== '') rows.push({ line: begun, fields });
  }
  return { ok: true, rows };

  function readField(): string | null {
    while (input[at] === ' ' || input[at] === '\t') at++;
    if (input[at] !== '"') {
      const start = at;
      while (at < input.length && input[at] !== separator && input[at] !== '\n' && input[at] !== '\r') at++;
      return input.slice(start, at).trim();
    }
    let field = '';
    for (at++; at < input.length; at++) {
      if (input[at] === '"') {
        if (input[at + 1] !== '"') break;
        at++;
      }
      if (input[at] === '\n') line++;
      field += input[at];
    }
    if (input[at] !== '"') return null;
    at++;
    while (input[at] === ' ' || input[at] === '\t') at++;
    const ended = at >= input.length || input[at] === separator || input[at] === '\n' || input[at] === '\r';
    return ended ? field : null;
  }
}

function separatorOf(input: string): ',' | ';' {
  const first = input.split(/\r?\n/).find((each) => each.trim() !== '' && !each.startsWith('#')) ?? '';
  return !first.includes(',') && first.includes(';') ? ';' : ',';
}
