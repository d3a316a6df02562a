import type { Settings } from '../../shared-lib/api-contract.ts';

type Theme = Settings['theme'];

const STORAGE_KEY = 'proofarm.theme';

export const themeNames: Readonly<Record<Theme, string>> = {
  system: 'System',
  light: 'Light',
  dark: 'Dark',
  sunlight: 'Sunlight',
};

/** Kept by the browser too, so that a reload does not flash in another theme before the settings have come. */
export function applyTheme(theme: Theme): void {
  document.documentElement.dataset['theme'] = theme;
  localStorage.setItem(STORAGE_KEY, theme);
}

export function applyRememberedTheme(): void {
  const theme = localStorage.getItem(STORAGE_KEY);
  if (theme !== null && Object.hasOwn(themeNames, theme)) {
    document.documentElement.dataset['theme'] = theme;
  }
}
