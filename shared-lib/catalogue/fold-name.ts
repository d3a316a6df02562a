/** The same letters whatever their case or their way of being composed, by which names are told apart; not for showing. */
export function foldName(name: string): string {
  return name.normalize('NFKC').toLowerCase();
}
