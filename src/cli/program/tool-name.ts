import packageJson from '../../../package.json' with { type: 'json' };

/** A change of what is measured, decided or believed asks for another one. */
export const toolVersion: string = packageJson.version;

/** What records say they were written by. */
export const toolName = `ohmwright ${toolVersion}`;
