/** As in package.json. A change of what is measured, decided or believed asks for another one. */
export const toolVersion = '0.2.0';

/** What records say they were written by. */
export const toolName = `ohmwright ${toolVersion}`;
