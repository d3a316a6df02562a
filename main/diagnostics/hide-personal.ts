/** What must not leave this computer, and what is written in its place. */
export interface PersonalNames {
  readonly dataFolder: string;
  readonly homeFolder: string;
  readonly userName: string;
  readonly computerName: string;
  /** What the tester typed into the settings. */
  readonly operator: string;
}

/** Shorter names would take ordinary words apart. */
const SHORTEST_NAME = 3;

/**
 * Takes folders and names of the user out of a text. Longest first: the data folder lies in the home folder as a rule.
 *
 * In JSON a Windows path has its backslashes doubled, so both forms are looked for.
 */
export function hidePersonal(text: string, names: PersonalNames): string {
  const folders: readonly (readonly [string, string])[] = [
    [names.dataFolder, '<data folder>'],
    [names.homeFolder, '<home>'],
  ];
  let hidden = text;
  for (const [folder, mark] of folders) {
    // A root folder as home, as services have it, would match every path.
    if (folder.length < SHORTEST_NAME) continue;
    hidden = hidden.replaceAll(folder, mark).replaceAll(folder.replaceAll('\\', '\\\\'), mark);
  }
  const words: readonly (readonly [string, string])[] = [
    [names.operator, '<operator>'],
    [names.userName, '<user>'],
    [names.computerName, '<computer>'],
  ];
  for (const [name, mark] of words) {
    if (name.length < SHORTEST_NAME) continue;
    const escaped = name.replaceAll(/[.*+?^${}()|[\]\\]/g, String.raw`\$&`);
    hidden = hidden.replaceAll(
      new RegExp(String.raw`(?<![\p{L}\p{N}])${escaped}(?![\p{L}\p{N}])`, 'gu'),
      mark,
    );
  }
  return hidden;
}
