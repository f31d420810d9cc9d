/** What keys about the ledger mean. One key, one meaning; one meaning, one key. */
export const keysOfLedger = {
  put: 'how the ledger took a record: new, grown, known, put aside, or none',
  subject: 'identity of the record, or name of the table, that it concerns',
  events: 'what was found and done in a job, in order',
  act: 'whether a unit was found at fault, or something was done to it',
  helped: 'what was done took the fault away',
} as const;
