import { describe, expect, it } from 'vitest';
import type { AmplifierStatus } from '../../../../shared-lib/bench-status.ts';
import { compareRate, linkSentence, visibleLine } from '../../../../renderer/setup/amplifier-facts.ts';
import { connectedAmplifier } from '../../../helpers/amplifier-status.ts';

const amplifier: AmplifierStatus = { ...connectedAmplifier, portPath: 'COM3' };

describe('measured rate beside the nominal one', () => {
  it('is nothing until a rate was measured', () => {
    expect(compareRate({ ...amplifier, measuredRateHz: null })).toBeNull();
  });

  it('is as set within a twentieth of a percent', () => {
    expect(compareRate({ ...amplifier, measuredRateHz: 80.01 })).toMatchObject({
      sentence: 'as set',
      isOff: false,
    });
  });

  it('is still no fault at 1.9 %', () => {
    expect(compareRate({ ...amplifier, measuredRateHz: 81.52 })).toMatchObject({
      sentence: '1.9 % above the nominal rate',
      isOff: false,
    });
  });

  it('is off beyond 2 %, and the measured rate is offered with four digits', () => {
    expect(compareRate({ ...amplifier, measuredRateHz: 9.8765432 })).toEqual({
      sentence: '87.7 % below the nominal rate',
      isOff: true,
      suggestedRateHz: 9.877,
    });
  });
});

describe('link sentence', () => {
  it('names the port', () => {
    expect(linkSentence({ ...amplifier, link: 'silent' })).toBe('COM3: open, but no lines are coming in');
  });

  it('tells an amplifier whose lines do not fit from one that sends none', () => {
    const counters = { ...amplifier.counters, badLines: 12 };
    expect(linkSentence({ ...amplifier, link: 'silent', counters })).toBe(
      'COM3: open, but none of its lines can be read',
    );
  });

  it('names the simulated bench as such', () => {
    expect(linkSentence({ ...amplifier, source: 'simulated', portPath: null })).toBe(
      'Simulated bench: connected, lines are coming in',
    );
  });
});

describe('a line that could not be read', () => {
  it('shows control characters instead of hiding them', () => {
    expect(visibleLine('12\r34\u0000\u001b[0m')).toBe('12\\x0d34\\x00\\x1b[0m');
  });

  it('leaves readable text as it is', () => {
    expect(visibleLine('reading 12; ok')).toBe('reading 12; ok');
  });
});
