import type { RequestParams } from '../../shared-lib/api-contract.ts';
import type { SchemeDraft } from '../../shared-lib/standings/scheme-model.ts';
import { createCatalogueParts } from '../../main/catalogue/catalogue-parts.ts';
import { createStandingsParts } from '../../main/standings/standings-parts.ts';
import type { WritableDatabase } from '../../main/storage/database.ts';
import { recordDecision } from '../../main/storage/trial-repository.ts';
import { demoTools, detailsOf, setupOf, toolOf } from './scenario.ts';

const OPERATOR = 'Rowan (demo)';
const FROZEN_AT = '2026-03-20T12:00:00.000Z';
const CHANGED_AT = '2026-04-02T12:00:00.000Z';

/**
 * What is known of the invented tools, how they feel to invented people, and the standings; then an edition is frozen, and a price and a
 * trial change after it. Through the program's own parts, so that nothing is stored that a window could not have stored.
 */
export async function fillCatalogue(database: WritableDatabase): Promise<void> {
  let now = '2026-02-28T12:00:00.000Z';
  const tools = {
    database,
    clock: { now: () => new Date(now), monotonicUs: () => 0 },
    softwareVersion: 'demo',
    operator: () => OPERATOR,
    emit: () => undefined,
  };
  const catalogue = createCatalogueParts(tools).handlers;
  const standings = createStandingsParts(tools);

  for (const tool of demoTools) {
    await catalogue.saveCatalogueTool({ tool: toolOf(tool), details: detailsOf(tool) });
  }
  for (const { id, ratings } of demoTools) {
    for (const rating of ratings) {
      await catalogue.rateHandling({ toolId: id, note: 'An invented judgement.', ...rating });
    }
  }
  // None for pounds.
  await catalogue.addExchangeRate({
    rate: {
      currency: 'USD',
      inCurrency: 'EUR',
      rate: 0.92,
      on: '2026-02-01',
      source: 'an invented rate (demo)',
    },
  });

  const { schemeId } = await standings.handlers.saveScheme({ schemeId: null, draft: allRound });
  await standings.handlers.saveStandingsTable({
    table: { ...table, id: 'demo-table-half-inch', name: 'Half-inch wrenches (demo)', schemeId },
  });
  const { schemeId: strengthId } = await standings.handlers.saveScheme({ schemeId: null, draft: strength });
  await standings.handlers.saveStandingsTable({
    table: {
      ...table,
      id: 'demo-table-all',
      name: 'Strongest, all drives (demo)',
      schemeId: strengthId,
      driveSizes: [],
    },
  });

  now = FROZEN_AT;
  await standings.handlers.makeEdition({
    tableId: 'demo-table-half-inch',
    name: 'Spring 2026 (demo)',
    note: 'An invented edition, frozen before a price and a trial changed.',
  });

  now = CHANGED_AT;
  await cheaper(catalogue);
  voidOneTrial(database);
  standings.close();
}

const forward = { kind: 'tighten', direction: 'forward', plannedS: 5 } as const;
const reverse = { kind: 'tighten', direction: 'reverse', plannedS: 10 } as const;
const sustained = { figure: 'sustainedTorque' } as const;

const allRound: SchemeDraft = {
  name: 'All-round at the bench (demo)',
  note: 'Invented: torque both ways, pace, what it costs and how it feels.',
  isNormalised: false,
  terms: [
    {
      id: 'forward',
      label: 'Torque forward',
      measure: { of: 'trial', step: forward, measure: sustained },
      better: 'more',
      how: { way: 'perUnit', points: 1, amount: 10 },
      factor: 1,
      cap: null,
      missing: 'notRanked',
    },
    {
      id: 'reverse',
      label: 'Torque in reverse',
      measure: { of: 'trial', step: reverse, measure: sustained },
      better: 'more',
      how: { way: 'perUnit', points: 1, amount: 10 },
      factor: 0.5,
      cap: null,
      missing: 'leaveOut',
    },
    {
      id: 'pace',
      label: 'Time to 90 %',
      measure: { of: 'trial', step: forward, measure: { figure: 'timeTo90Percent' } },
      better: 'less',
      how: { way: 'shareOfBest', points: 20 },
      factor: 1,
      cap: 20,
      missing: 'leaveOut',
    },
    {
      id: 'worth',
      label: 'Torque for the money',
      measure: { of: 'ratio', step: forward, measure: sustained, per: 'priceBare' },
      better: 'more',
      how: { way: 'shareOfBest', points: 30 },
      factor: 1,
      cap: null,
      missing: 'notRanked',
    },
    {
      id: 'handling',
      label: 'Handling (a judgement)',
      measure: { of: 'tool', property: 'handling' },
      better: 'more',
      how: {
        way: 'steps',
        steps: [
          { from: 1, points: 0 },
          { from: 5, points: 5 },
          { from: 7, points: 8 },
          { from: 9, points: 10 },
        ],
      },
      factor: 1,
      cap: null,
      missing: 'zero',
    },
  ],
};

const strength: SchemeDraft = {
  name: 'Strength alone (demo)',
  note: 'Invented: a point for each N·m held.',
  isNormalised: false,
  terms: allRound.terms.slice(0, 1).map((term) => ({
    ...term,
    how: { way: 'perUnit' as const, points: 1, amount: 1 },
  })),
};

const table = {
  toolClasses: ['impactWrench'],
  driveSizes: ['square12.5'],
  supplies: [],
  isSimulated: true,
  gate: 'goodAndLook',
  currency: 'EUR',
  isArchived: false,
} satisfies Partial<RequestParams<'saveStandingsTable'>['table']>;

async function cheaper(catalogue: ReturnType<typeof createCatalogueParts>['handlers']): Promise<void> {
  const tarnwick = demoTools.find(({ id }) => id === 'demo-tarnwick-t6');
  if (tarnwick === undefined) throw new Error('The scenario has lost its Tarnwick');
  const details = detailsOf(tarnwick);
  await catalogue.saveCatalogueTool({
    tool: toolOf(tarnwick),
    details: {
      ...details,
      prices: [
        ...details.prices,
        {
          id: 'demo-price-t6-2',
          kind: 'bare',
          amount: 219,
          currency: 'EUR',
          on: '2026-04-01',
          source: 'invented shop (demo)',
        },
      ],
    },
  });
}

/** The newest counted pull of the Brindlow, after its figures had been seen, which is stored with it. */
function voidOneTrial(database: WritableDatabase): void {
  const brindlow = demoTools.find(({ id }) => id === 'demo-brindlow-b4');
  const trialId =
    brindlow &&
    database
      .prepare<[string], string>(
        `SELECT id FROM trial WHERE shown_setup_id = ? AND role = 'counted' AND state = 'kept'
           AND kind = 'tighten' AND direction = 'forward' AND session_id = 'demo-session-1'
         ORDER BY started_at DESC LIMIT 1`,
      )
      .pluck()
      .get(setupOf(brindlow).id);
  if (trialId === undefined) throw new Error('The Brindlow has no trial to be voided');
  recordDecision(database, trialId, {
    decision: 'voided',
    reason: 'The video shows the bar creeping out of the square (demo).',
    stopCause: null,
    figuresShown: true,
    operator: OPERATOR,
    at: CHANGED_AT,
  });
}
