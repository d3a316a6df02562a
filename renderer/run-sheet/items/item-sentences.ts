import { formatNumber, THIN_SPACE } from '../../../shared-lib/format-quantity.ts';
import type { Pack, Setup, Supply, Tool } from '../../../shared-lib/run-sheet/setup-model.ts';
import { formatSignificant } from '../../../shared-lib/format-significant.ts';
import type { BenchItems } from './use-bench-items.ts';

export const supplyWords: Readonly<Record<Supply, string>> = {
  battery: 'battery',
  mains: 'mains',
  air: 'compressed air',
  hand: 'by hand',
};

export function toolWords({ supply, declaredVibrationMps2, declaredNoiseDbA }: Tool): string {
  const parts = [supplyWords[supply]];
  if (declaredVibrationMps2 !== null) {
    parts.push(`declared vibration ${formatSignificant(declaredVibrationMps2, 'mPerS2')}`);
  }
  if (declaredNoiseDbA !== null) {
    parts.push(`declared noise ${formatNumber(declaredNoiseDbA, 0)}${THIN_SPACE}dB(A)`);
  }
  return parts.join(', ');
}

/** Why a tool is no longer listed. */
export function mergedWords(into: Pick<Tool, 'name'>): string {
  return `merged into ${into.name}, to which its trials and setups count`;
}

export function packWords({ nominalV, capacityAh }: Pack): string {
  const parts: string[] = [];
  if (nominalV !== null) parts.push(`${formatPlain(nominalV)}${THIN_SPACE}V`);
  if (capacityAh !== null) parts.push(`${formatPlain(capacityAh)}${THIN_SPACE}Ah`);
  return parts.join(', ');
}

/** "Hollin H5, pack 2"; a setup keeps its name though its tool is no longer listed. */
export function setupName({ toolId, packId }: Setup, { tools, packs }: BenchItems): string {
  const tool = tools.find(({ id }) => id === toolId);
  const pack = packs.find(({ id }) => id === packId);
  return [tool?.name ?? 'A tool that is not listed', ...(pack === undefined ? [] : [pack.name])].join(', ');
}

export function setupWords({ setting, socket }: Setup): string {
  const parts: string[] = [];
  if (setting !== '') parts.push(`setting ${setting}`);
  if (socket !== null) {
    const { massKg, lengthM } = socket;
    const sizes = [
      ...(massKg === null ? [] : [formatSignificant(massKg, 'kg')]),
      ...(lengthM === null ? [] : [formatSignificant(lengthM, 'mm')]),
    ];
    parts.push(sizes.length === 0 ? socket.name : `${socket.name} (${sizes.join(', ')})`);
  }
  return parts.join(', ');
}

function formatPlain(value: number): string {
  return formatNumber(value, Number.isInteger(value) ? 0 : 1);
}
