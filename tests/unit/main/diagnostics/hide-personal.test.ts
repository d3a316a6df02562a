import { describe, expect, it } from 'vitest';
import { hidePersonal, type PersonalNames } from '../../../../main/diagnostics/hide-personal.ts';

const names: PersonalNames = {
  dataFolder: '/home/marlene/.local/share/proofarm',
  homeFolder: '/home/marlene',
  userName: 'marlene',
  computerName: 'shed-pc',
  operator: 'M. (Lene)',
};

describe('hiding what is personal', () => {
  it.each([
    ['opened /home/marlene/.local/share/proofarm/proofarm.db', 'opened <data folder>/proofarm.db'],
    ['at /home/marlene/programs/dist/main.js:12', 'at <home>/programs/dist/main.js:12'],
    ['/media/marlene/stick', '/media/<user>/stick'],
    ['shed-pc: started', '<computer>: started'],
    ['kept by M. (Lene)', 'kept by <operator>'],
  ])('writes "%s" as "%s"', (text, hidden) => {
    expect(hidePersonal(text, names)).toBe(hidden);
  });

  it('finds a Windows path also where JSON has doubled its backslashes', () => {
    const windows = {
      ...names,
      dataFolder: String.raw`C:\Users\Lene\Proofarm`,
      homeFolder: String.raw`C:\Users\Lene`,
    };
    expect(
      hidePersonal(JSON.stringify({ path: String.raw`C:\Users\Lene\Proofarm\proofarm.db` }), windows),
    ).toBe(String.raw`{"path":"<data folder>\\proofarm.db"}`);
  });

  it('leaves words alone that only contain a name', () => {
    expect(hidePersonal('marlenesque /dev/ttyUSB0', names)).toBe('marlenesque /dev/ttyUSB0');
  });

  it('takes no path apart where the home folder is the root, and no text where a name is empty', () => {
    const service = { ...names, homeFolder: '/', operator: '', userName: 'io' };
    expect(hidePersonal('/dev/ttyUSB0 io', service)).toBe('/dev/ttyUSB0 io');
  });
});
