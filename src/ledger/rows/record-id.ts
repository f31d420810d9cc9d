/** Returns the key of a record's rows: the first 16 bytes of its identity, as a UUID. */
export function rowKey(recordId: string): string {
  return recordId.slice(0, 32).replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, '$1-$2-$3-$4-$5');
}
