import { renderToStaticMarkup } from 'react-dom/server';
import { describe, expect, it } from 'vitest';
import { faultKindSchema } from '../../../../shared-lib/trial/trial-model.ts';
import { FreshFaults } from '../../../../renderer/faults/FreshFaults.tsx';
import { describeStatusParts } from '../../../../renderer/frame/status-sentences.ts';
import { readyStatus } from '../../../helpers/scripted-bench.ts';

const textOf = (markup: string): string =>
  markup
    .replaceAll(/<[^>]*>/g, ' ')
    .replaceAll(/\s+/g, ' ')
    .trim();

describe('faults of this moment', () => {
  it.each([...faultKindSchema.values])('a fault %s is shown with word, shape and its sentence', (kind) => {
    const fault = { kind, at: new Date().toISOString(), atS: null, count: 1, sentence: `About ${kind}.` };
    const markup = renderToStaticMarkup(<FreshFaults status={{ ...readyStatus, recentFaults: [fault] }} />);
    expect(textOf(markup)).toMatch(new RegExp(`^(Fault|Caution|Note) About ${kind}\\.$`));
    expect(markup).toContain('<svg');
    expect(markup).toContain('role="status"');
  });

  it('leave the window after a while, but the status line still names the last', () => {
    const at = new Date(Date.now() - 5 * 60_000).toISOString();
    const status = {
      ...readyStatus,
      recentFaults: [{ kind: 'sequenceGap' as const, at, atS: null, count: 3, sentence: '3 samples lost.' }],
    };
    expect(textOf(renderToStaticMarkup(<FreshFaults status={status} />))).toBe('');
    const last = describeStatusParts(status, Date.now()).find(({ key }) => key === 'fault');
    expect(last?.state.replace('\u202f', ' ')).toBe('lost samples, 5 min ago');
  });

  it('the status line has no such part before the first', () => {
    expect(describeStatusParts(readyStatus, Date.now()).some(({ key }) => key === 'fault')).toBe(false);
  });
});
