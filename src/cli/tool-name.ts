/** What records say they were written by. A change of what is measured, decided or believed asks for another version. */
export const toolName = 'ohmwright 0.1.0';
