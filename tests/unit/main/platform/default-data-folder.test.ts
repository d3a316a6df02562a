import { expect, it } from 'vitest';
import { defaultDataFolder } from '../../../../main/platform/default-data-folder.ts';

it.each([
  ['linux', {}, '/home/t/.local/share/proofarm'],
  ['linux', { XDG_DATA_HOME: '/data' }, '/data/proofarm'],
  ['linux', { XDG_DATA_HOME: '' }, '/home/t/.local/share/proofarm'],
  ['linux', { XDG_DATA_HOME: 'relative' }, '/home/t/.local/share/proofarm'],
  ['darwin', { XDG_DATA_HOME: '/data' }, '/home/t/Library/Application Support/Proofarm'],
  ['win32', { APPDATA: '/roaming' }, '/roaming/Proofarm'],
  ['win32', {}, '/home/t/AppData/Roaming/Proofarm'],
] as const)('keeps data where %s keeps it (%j)', (system, environment, folder) => {
  expect(defaultDataFolder(system, environment, '/home/t')).toBe(folder);
});
