import { describe, expect, it } from 'vitest';
import { previewSentence } from '../../../../renderer/share/bring-in/bring-in-words.ts';
import type { PackagePreview } from '../../../../shared-lib/exchange/exchange-requests.ts';

function sentence(changes: Partial<PackagePreview>): string {
  const none = { newCount: 0, knownCount: 2 };
  return previewSentence({
    manifest: {
      format: 1,
      bench: { id: 'bench-a', name: 'Bench A' },
      softwareVersion: '0.1.0',
      schemaVersion: 90,
      definitionVersion: 1,
      madeAt: '2026-04-01T10:00:00.000Z',
      subject: 'Everything of a bench (demo)',
      isSimulated: true,
    },
    fingerprint: 'f'.repeat(64),
    trials: none,
    tools: none,
    calibrations: none,
    isOwnBench: false,
    newEntries: [],
    added: [],
    conflicts: [],
    remarks: [],
    ...changes,
  });
}

describe('what taking a package in would come to', () => {
  it('names what its bench added to what is here, with and without anything new', () => {
    const added = ['1 void', '2 other calibrations', '1 set of figures'];
    expect(sentence({ added })).toBe(
      'Nothing of it is new. To what is here it adds what Bench A has added since: 1 void, 2 other calibrations, 1 set of figures.',
    );
    expect(sentence({ newEntries: ['1 trial'], added })).toBe(
      'Taking it in adds what is new, marked as coming from Bench A. To what is here it adds what Bench A has added since: 1 void, 2 other calibrations, 1 set of figures.',
    );
  });

  it('says that what is here stays only where nothing is added to it', () => {
    expect(sentence({ newEntries: ['1 run sheet'] })).toBe(
      'Taking it in adds what is new, marked as coming from Bench A. What is here stays as it is.',
    );
    expect(sentence({})).toBe('Taking it in would add nothing: what of it may come in is here already.');
  });

  it('does not call marked what would stand among one’s own', () => {
    expect(sentence({ isOwnBench: true, newEntries: ['1 trial'] })).toBe(
      'Taking it in adds what is not here, as made on this bench. What is here stays as it is.',
    );
  });

  it('says nothing of additions where a contradiction keeps all of it out', () => {
    expect(sentence({ added: ['1 void'], conflicts: ['trial trial-1: another one.'] })).toMatch(
      /^It contradicts what is here/,
    );
  });
});
