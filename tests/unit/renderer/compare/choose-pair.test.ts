import { describe, expect, it } from 'vitest';
import { choosePair, sessionsOfPair, sharedSteps } from '../../../../renderer/compare/choose-pair.ts';
import { type AddressedChoice, readChoice } from '../../../../renderer/compare/compare-address.ts';
import { brindlow, forward5, hollin, listed, listing, reverse10, tarnwick } from './compare-samples.ts';

const nothing = readChoice(new URLSearchParams());
const ask = (change: Partial<AddressedChoice>): AddressedChoice => ({ ...nothing, ...change });
const forwardIn = (...sessionIds: string[]) => [{ step: forward5, sessionIds }];

function pairOf(chosen: ReturnType<typeof choosePair>): string[] {
  if (chosen.state !== 'pair') throw new Error(`It is ${chosen.state}`);
  return [chosen.a.toolName, chosen.b.toolName];
}

describe('who is compared when Compare is opened', () => {
  it('nobody where nobody was tested, and one alone where there is no other', () => {
    expect(choosePair(listing([]), nothing)).toEqual({ state: 'nobody' });
    expect(choosePair(listing([listed(hollin, forwardIn('s1'))]), nothing).state).toBe('alone');
  });

  it('the one tested last, beside whoever shares a session and a step with it', () => {
    const all = listing([
      listed(hollin, forwardIn('s3', 's1')),
      listed(tarnwick, forwardIn('s2')),
      listed(brindlow, forwardIn('s1')),
    ]);
    expect(pairOf(choosePair(all, nothing))).toEqual(['Hollin H5', 'Brindlow B4']);
  });

  it('across sessions where no session has both, with the newest', () => {
    const all = listing([
      listed(hollin, forwardIn('s3')),
      listed(brindlow, forwardIn('s1')),
      listed(tarnwick, forwardIn('s2')),
    ]);
    expect(pairOf(choosePair(all, nothing))).toEqual(['Hollin H5', 'Tarnwick T6']);
  });

  it('the next two where the one tested last shares no step with anybody', () => {
    const all = listing([
      listed(hollin, [{ step: reverse10, sessionIds: ['s3'] }]),
      listed(tarnwick, forwardIn('s2')),
      listed(brindlow, forwardIn('s2')),
    ]);
    expect(pairOf(choosePair(all, nothing))).toEqual(['Tarnwick T6', 'Brindlow B4']);
  });

  it('takes no simulated one beside a real one, and no step of which one kept nothing', () => {
    const real = { ...tarnwick, isSimulated: false };
    const apart = listing([listed(hollin, forwardIn('s3')), listed(real, forwardIn('s3'))]);
    expect(choosePair(apart, nothing).state).toBe('alone');
    const unkept = listing([
      listed(hollin, forwardIn('s3')),
      listed(tarnwick, [{ step: forward5, sessionIds: ['s3'], keptCount: 0 }]),
    ]);
    expect(choosePair(unkept, nothing).state).toBe('alone');
  });

  it('by sustained torque and the step of their newest common session', () => {
    const steps = [
      { step: forward5, sessionIds: ['s1'] },
      { step: reverse10, sessionIds: ['s3'] },
    ];
    const chosen = choosePair(listing([listed(hollin, steps), listed(tarnwick, steps)]), nothing);
    expect(chosen).toMatchObject({
      state: 'pair',
      choice: { step: reverse10, measure: { figure: 'sustainedTorque' }, sessionIds: null, isForced: false },
      isSomebodyMissing: false,
    });
  });
});

describe('where the benches of the two that were tested last may differ', () => {
  const all = listing([
    listed(hollin, forwardIn('s3')),
    listed(tarnwick, forwardIn('s2')),
    listed(brindlow, forwardIn('s2', 's1')),
  ]);
  const pairs = (change: Partial<AddressedChoice>) => {
    const chosen = choosePair(all, ask(change));
    return chosen.state === 'pair' ? chosen.candidates.map(({ a, b }) => [a, b]) : null;
  };

  it('further pairs stand ready, each once', () => {
    expect(pairs({})).toEqual([
      [hollin.key, tarnwick.key],
      [hollin.key, brindlow.key],
      [tarnwick.key, brindlow.key],
    ]);
    expect(pairs({ b: hollin.key })).toEqual([
      [tarnwick.key, hollin.key],
      [brindlow.key, hollin.key],
    ]);
  });

  it('nobody else is sought where both were asked for, and nobody in place of the one that was', () => {
    expect(pairs({ a: hollin.key, b: tarnwick.key })).toEqual([]);
    expect(pairs({ a: tarnwick.key })).toEqual([
      [tarnwick.key, brindlow.key],
      [tarnwick.key, hollin.key],
    ]);
  });
});

describe('what the address asks for', () => {
  const steps = [
    { step: forward5, sessionIds: ['s3'] },
    { step: reverse10, sessionIds: ['s2'] },
  ];
  const all = listing([
    listed(hollin, steps),
    listed(tarnwick, steps),
    listed(brindlow, [{ step: { ...forward5, plannedS: 15 }, sessionIds: ['s1'] }]),
  ]);

  it('stays, with what it leaves open filled in', () => {
    const asked = ask({ b: hollin.key, step: reverse10, measure: { figure: 'torqueAt', atS: 10 } });
    const chosen = choosePair(all, asked);
    expect(pairOf(chosen)).toEqual(['Tarnwick T6', 'Hollin H5']);
    expect(chosen).toMatchObject({ choice: { step: reverse10, measure: { figure: 'torqueAt', atS: 10 } } });
  });

  it('gives way where it cannot be: an instant after the end, a step that one does not have', () => {
    const late = ask({ a: hollin.key, step: forward5, measure: { figure: 'torqueAt', atS: 10 } });
    expect(choosePair(all, late)).toMatchObject({ choice: { measure: { figure: 'sustainedTorque' } } });
    const other = ask({ a: hollin.key, b: tarnwick.key, step: { ...forward5, plannedS: 15 } });
    expect(choosePair(all, other)).toMatchObject({ choice: { step: forward5 } });
  });

  it('is said to be impossible for two without a step in common, rather than answered for others', () => {
    expect(choosePair(all, ask({ a: hollin.key, b: brindlow.key }))).toMatchObject({
      state: 'noSharedStep',
      a: { key: hollin.key },
      b: { key: brindlow.key },
    });
  });

  it('is told as missing where it names somebody who is not there, and never sets one against themselves', () => {
    expect(choosePair(all, ask({ a: 'name:gone', b: tarnwick.key }))).toMatchObject({
      a: { key: hollin.key },
      b: { key: tarnwick.key },
      isSomebodyMissing: true,
    });
    expect(pairOf(choosePair(all, ask({ a: hollin.key, b: hollin.key })))).toEqual([
      'Hollin H5',
      'Tarnwick T6',
    ]);
  });
});

describe('what can be picked for a pair', () => {
  const a = listed(hollin, [
    { step: forward5, sessionIds: ['s1', 's2'] },
    { step: reverse10, sessionIds: ['s3'] },
  ]);
  const b = listed(tarnwick, [
    { step: forward5, sessionIds: ['s2'] },
    { step: reverse10, sessionIds: ['s3'] },
    { step: { ...forward5, kind: 'stall' }, sessionIds: ['s3'] },
  ]);

  it('steps that both have, the newest session first', () => {
    expect(sharedSteps(listing([a, b]), a, b)).toEqual([reverse10, forward5]);
  });

  it('sessions in which either was pulled by the step, newest first', () => {
    expect(
      sessionsOfPair(listing([a, b]), a, b, forward5).map(({ session, hasA, hasB }) => [
        session.id,
        hasA,
        hasB,
      ]),
    ).toEqual([
      ['s2', true, true],
      ['s1', true, false],
    ]);
  });
});
