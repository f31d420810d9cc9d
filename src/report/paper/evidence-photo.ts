/** A photo that was taken at a check, as a page shows it. */
export interface EvidencePhoto {
  /** Number of its entry. */
  n: number;
  /** Of the check. */
  title: string;
  /** What is seen on it; '' when nobody said. */
  shows: string;
  /** The photo within the page (a data URI); null when it can't be shown. */
  href: string | null;
  /** Why it can't be shown; '' when it is. */
  lacking: string;
}
