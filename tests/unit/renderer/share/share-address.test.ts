import { describe, expect, it } from 'vitest';
import type { Subject } from '../../../../shared-lib/publishing/publishing-model.ts';
import {
  readPictureChoice,
  readSubject,
  shareAddress,
  withPictureChoice,
  withSubject,
} from '../../../../renderer/share/share-address.ts';

const comparison: Subject = {
  kind: 'comparison',
  asked: {
    step: { kind: 'tighten', direction: 'forward', plannedS: 5 },
    a: 'setup:one & two',
    b: 'name:borrowed #3 100%',
    sessionIds: ['session-1'],
    isForced: false,
    measure: { figure: 'torqueAt', atS: 5 },
  },
};

describe('the address of what is published', () => {
  it('holds the whole subject, whatever its names are', () => {
    const address = shareAddress('chart', comparison);
    const url = new URL(address, 'http://127.0.0.1');
    expect(url.pathname).toBe('/share/chart');
    expect(readSubject(url.search)).toEqual(comparison);
  });

  it('names nothing where it was cut short, written by hand, or leads to what is no subject', () => {
    expect(readSubject('')).toBeNull();
    expect(readSubject('?subject=%7B%22kind%22')).toBeNull();
    expect(readSubject(`?subject=${encodeURIComponent('{"kind":"trial"}')}`)).toBeNull();
    expect(
      readSubject(`?subject=${encodeURIComponent('{"kind":"trial","trialId":"1","more":1}')}`),
    ).toBeNull();
  });

  it('keeps how the picture looks when something else is shown', () => {
    const dark = withPictureChoice(new URLSearchParams(), {
      theme: 'dark',
      format: 'square',
      ground: 'none',
    });
    const other = withSubject(dark, { kind: 'trial', trialId: 'trial-1' });
    expect(readSubject(other.toString())).toEqual({ kind: 'trial', trialId: 'trial-1' });
    expect(readPictureChoice(other)).toEqual({
      chart: null,
      format: 'square',
      theme: 'dark',
      ground: 'none',
      unit: null,
    });
  });

  it('takes a look that it does not know for the usual one', () => {
    expect(
      readPictureChoice(new URLSearchParams('format=poster&theme=pink&unit=kgfm&chart=pie&ground=sand')),
    ).toEqual({
      chart: null,
      format: 'wide',
      theme: 'light',
      ground: 'solid',
      unit: null,
    });
  });

  it('leaves out what is to be as it comes', () => {
    const params = withPictureChoice(new URLSearchParams('unit=ftLbf'), { unit: null });
    expect(params.toString()).toBe('');
  });
});
