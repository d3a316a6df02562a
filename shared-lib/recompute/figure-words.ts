import { THIN_SPACE } from '../format-quantity.ts';

/** Ends of names in this program's figures, with the unit that they stand for; longer ones first. */
const units: readonly (readonly [ending: string, unit: string])[] = [
  ['PercentPerMin', '%/min'],
  ['PercentPerS', '%/s'],
  ['CountsPerS', 'counts/s'],
  ['NmPerCount', 'N·m per count'],
  ['NmPerS', 'N·m/s'],
  ['KgM3', 'kg/m³'],
  ['Percent', '%'],
  ['Counts', 'counts'],
  ['Mps2', 'm/s²'],
  ['Nms', 'N·m·s'],
  ['Nm', 'N·m'],
  ['Hz', 'Hz'],
  ['Us', 'µs'],
  ['Kg', 'kg'],
  ['S', 's'],
  ['M', 'm'],
];

/** "sustainedTorqueNm", "interval", "low" → "sustained torque, interval, low". */
export function figureWords(path: readonly string[]): string {
  return path
    .map((name) => {
      if (name.startsWith('#')) return name.slice(1);
      const spaced = withoutUnit(name)
        .replaceAll('_', ' ')
        .replaceAll(/([a-z\d])([A-Z])/g, '$1 $2');
      return spaced === spaced.toUpperCase() ? spaced : spaced.toLowerCase();
    })
    .join(', ');
}

/** A value with the unit that its name carries; numbers in all their digits. */
export function valueWords(value: unknown, path: readonly string[]): string {
  if (value === undefined || value === null) return 'none';
  if (typeof value === 'number') {
    const unit = unitOf(path);
    return unit === null ? String(value) : `${value}${THIN_SPACE}${unit}`;
  }
  if (typeof value === 'boolean') return value ? 'yes' : 'no';
  if (typeof value === 'string') return `“${value}”`;
  const text = JSON.stringify(value);
  return text.length > 200 ? `${text.slice(0, 200)}…` : text;
}

/** That of the innermost name which has one: "value" has that of the measure around it. */
function unitOf(path: readonly string[]): string | null {
  const own = path.findLast((name) => !name.startsWith('#'));
  if (own === 'standardDeviation' || own === 'p') return null;
  for (const name of path.toReversed()) {
    const found = units.find(([ending]) => endsInUnit(name, ending));
    if (found !== undefined) return found[1];
  }
  return null;
}

function withoutUnit(name: string): string {
  const found = units.find(([ending]) => endsInUnit(name, ending));
  return found === undefined ? name : name.slice(0, -found[0].length);
}

/** In camel case, a unit begins with a capital behind a small letter or a digit. */
function endsInUnit(name: string, ending: string): boolean {
  return name.endsWith(ending) && /[a-z\d]$/.test(name.slice(0, -ending.length));
}
