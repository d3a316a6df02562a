import { supplyWords } from '../../catalogue/catalogue-words.ts';
import type { Standings, StandingsTable } from '../standings-model.ts';
import { gateNames } from '../../run-sheet/session-words.ts';
import { listWords } from './place-sentences.ts';
import { capitalised, classesWords, driveWords, lowered } from './measure-words.ts';

/** "Impact wrenches; square 12.5 mm (1/2 in); battery; simulated trials". */
export function takesInWords(table: StandingsTable): string {
  const parts = [
    table.toolClasses.length === 0
      ? 'all classes of tools'
      : listWords(table.toolClasses.map((name) => classesWords[name])),
    table.driveSizes.length === 0
      ? 'any drive'
      : listWords(table.driveSizes.map((size) => lowered(driveWords[size]))),
    table.supplies.length === 0
      ? 'any supply'
      : listWords(table.supplies.map((supply) => supplyWords[supply])),
    table.isSimulated ? 'simulated trials' : 'real trials',
  ];
  return capitalised(parts.join('; '));
}

/** What the figures rest on, below the title of a table. */
export function restsOnWords({ table, scheme }: Pick<Standings, 'table' | 'scheme'>): string {
  return `Rules: ${scheme.name}, version ${scheme.version}. Trials: ${lowered(gateNames[table.gate])}. Prices in ${table.currency}.`;
}
