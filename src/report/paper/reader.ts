/** Whom a paper is for. */
export const allReaders = ['customer', 'supplier', 'colleague'] as const;
export type Reader = (typeof allReaders)[number];
