/** Returns whether two answers of a person contradict each other. */
export function isOpposite(a: string, b: string): boolean {
  return (a === 'yes' && b === 'no') || (a === 'no' && b === 'yes');
}
