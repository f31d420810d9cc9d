/** Returns the page that asks a browser for the code. */
export function codePage(isWrong: boolean): string {
  return `<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<title>Code for this bench</title><link rel="stylesheet" href="/page.css"></head>
<body><main class="code"><h1>Which code?</h1>
<p>${isWrong ? 'That code is not good, or was used already. ' : ''}The terminal at the bench shows one, and so does the foot of each page that is open.</p>
<form method="post" action="/code"><label>Code <input name="code" autocomplete="off" autocapitalize="characters" spellcheck="false" maxlength="12" required autofocus></label>
<button>Look on</button></form></main></body></html>
`;
}
