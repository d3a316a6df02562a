import { formatDuration, formatNumber, formatQuantity, THIN_SPACE } from '../../format-quantity.ts';
import type { Preparation, SetupAsTested } from '../../run-sheet/setup-model.ts';
import { describeSetup } from '../../run-sheet/describe-entry.ts';
import type { TrialConditions, TrialRecord } from '../trial-model.ts';
import { formatSignificant } from '../../format-significant.ts';
import { kindNames } from './pull-words.ts';
import type { ConditionRow } from './condition-rows.ts';
import { placeWords, stepWords } from './pull-words.ts';

/** Tool, setup and step as they are known now; where they were put right, as they had been named too. */
export function setupRows(
  { summary, conditions, relabellings }: TrialRecord,
  formatTorque: (torqueNm: number) => string,
): ConditionRow[] {
  const { step, setup } = summary;
  const before = conditions.setup;
  const isNamedAnew = relabellings.length > 0;
  return [
    { name: 'Tool', value: step.toolName },
    ...(setup === null ? [] : partsOf(setup)),
    { name: 'Kind', value: kindNames[step.kind].toLowerCase() },
    { name: 'Step', value: stepWords({ ...step, kind: 'tighten' }) },
    ...(step.preloadNm == null ? [] : [{ name: 'Preload planned', value: formatTorque(step.preloadNm) }]),
    ...(isNamedAnew && before !== null ? [{ name: 'Named at first', value: describeSetup(before) }] : []),
  ];
}

function partsOf(setup: SetupAsTested): ConditionRow[] {
  const { packName, packCapacityAh, setting, socket, declaredVibrationMps2, declaredNoiseDbA } = setup;
  const capacity = packCapacityAh === null ? '' : `, ${formatNumber(packCapacityAh, 1)}${THIN_SPACE}Ah`;
  return [
    ...(packName === null ? [] : [{ name: 'Pack', value: `${packName}${capacity}` }]),
    ...(setting === '' ? [] : [{ name: 'Setting', value: setting }]),
    ...(socket === null ? [] : [{ name: 'Socket', value: socketWords(socket) }]),
    ...(declaredVibrationMps2 === null
      ? []
      : [{ name: 'Declared vibration', value: formatSignificant(declaredVibrationMps2, 'mPerS2') }]),
    ...(declaredNoiseDbA === null
      ? []
      : [{ name: 'Declared noise', value: `${formatNumber(declaredNoiseDbA, 0)}${THIN_SPACE}dB(A)` }]),
  ];
}

function socketWords({ name, massKg, lengthM }: NonNullable<SetupAsTested['socket']>): string {
  return [
    name,
    ...(massKg === null ? [] : [formatSignificant(massKg, 'kg')]),
    ...(lengthM === null ? [] : [formatSignificant(lengthM, 'mm')]),
  ].join(', ');
}

/** Where the trial stood in its run sheet, and how the setup was found then; empty outside of one. */
export function preparationRows(conditions: TrialConditions): ConditionRow[] {
  const { place, preparation } = conditions;
  return [
    ...(place === null
      ? []
      : [
          {
            name: 'Place in the sheet',
            value: `pull ${formatNumber(place.index + 1, 0)}, ${placeOf(place)}`,
          },
        ]),
    ...restRow(conditions),
    ...(preparation === null ? [] : foundRows(preparation)),
  ];
}

function placeOf(place: NonNullable<TrialConditions['place']>): string {
  const words = placeWords(place);
  return place.role === 'counted' ? [words, 'counted'].filter((part) => part !== '').join(', ') : words;
}

function restRow({ restedS, plannedRestS }: TrialConditions): ConditionRow[] {
  if (restedS === null && plannedRestS === null) return [];
  const rested = restedS === null ? 'first pull with this setup in the session' : formatDuration(restedS, 0);
  const planned = plannedRestS === null ? '' : `, ${formatDuration(plannedRestS, 0)} planned`;
  const isCut = restedS !== null && plannedRestS !== null && restedS < plannedRestS;
  return [{ name: 'Rest before', value: `${rested}${planned}${isCut ? ': cut short' : ''}` }];
}

function foundRows(found: Preparation): ConditionRow[] {
  const { packRestedV, packTemperatureC, toolTemperatureC, fastener, fastenerPullsSinceNew } = found;
  const { lubricant, inletPressureKpa, hoseBoreMm } = found;
  const rows: [string, string | null][] = [
    ['Pack at rest', packRestedV === null ? null : `${formatNumber(packRestedV, 2)}${THIN_SPACE}V`],
    ['Pack temperature', packTemperatureC === null ? null : formatQuantity(packTemperatureC, 'degC', 0)],
    ['Tool temperature', toolTemperatureC === null ? null : formatQuantity(toolTemperatureC, 'degC', 0)],
    ['Fastener', fastener],
    ['Its pulls before', fastenerPullsSinceNew === null ? null : formatNumber(fastenerPullsSinceNew, 0)],
    ['Lubricant', lubricant],
    [
      'Inlet pressure',
      inletPressureKpa === null ? null : `${formatNumber(inletPressureKpa, 0)}${THIN_SPACE}kPa`,
    ],
    ['Hose bore', hoseBoreMm === null ? null : `${formatNumber(hoseBoreMm, 1)}${THIN_SPACE}mm`],
  ];
  const known = rows.flatMap(([name, value]) => (value === null ? [] : [{ name, value }]));
  if (known.length === 0 || !found.isCarriedOver) return known;
  return [...known, { name: 'These were', value: 'carried over unchanged, not read anew' }];
}
