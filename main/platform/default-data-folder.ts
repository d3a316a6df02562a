import { join } from 'node:path';

/** Where data goes unless the user says otherwise: the place that each system keeps for a program's own data. */
export function defaultDataFolder(
  system: NodeJS.Platform,
  environment: Readonly<Record<string, string | undefined>>,
  homeFolder: string,
): string {
  switch (system) {
    case 'win32':
      return join(environment['APPDATA'] ?? join(homeFolder, 'AppData', 'Roaming'), 'Proofarm');
    case 'darwin':
      return join(homeFolder, 'Library', 'Application Support', 'Proofarm');
    default:
      // An empty or relative XDG_DATA_HOME counts as unset (XDG Base Directory Specification).
      return join(
        environment['XDG_DATA_HOME']?.startsWith('/') === true
          ? environment['XDG_DATA_HOME']
          : join(homeFolder, '.local', 'share'),
        'proofarm',
      );
  }
}
