import { renderToStaticMarkup } from 'react-dom/server';
import { describe, expect, it } from 'vitest';
import { QualityMark } from '../../../../renderer/bench/QualityMark.tsx';
import { DataList, DataRow } from '../../../../renderer/ui/DataRow.tsx';
import { FailureNotice } from '../../../../renderer/ui/FailureNotice.tsx';
import { Notice } from '../../../../renderer/ui/Notice.tsx';
import { Panel } from '../../../../renderer/ui/Panel.tsx';
import { AppError } from '../../../../shared-lib/app-error.ts';

const textOf = (markup: string): string =>
  markup
    .replaceAll(/<[^>]*>/g, ' ')
    .replaceAll(/\s+/g, ' ')
    .trim();

describe('states are told by word and shape, not by colour alone', () => {
  it.each([
    ['fault', 'Fault'],
    ['caution', 'Caution'],
    ['information', 'Note'],
  ] as const)('a notice of kind %s says "%s" and has its shape', (kind, word) => {
    const markup = renderToStaticMarkup(<Notice kind={kind}>The port has vanished.</Notice>);
    expect(textOf(markup)).toBe(`${word} The port has vanished.`);
    expect(markup).toContain(`ui-shape-${kind}`);
  });

  it('what failed says so by itself, and offers to be asked again where nothing goes on without it', () => {
    const error = new AppError('storage-failed', 'The list could not be read.');
    expect(renderToStaticMarkup(<FailureNotice error={null} onAskAgain={() => undefined} />)).toBe('');
    expect(textOf(renderToStaticMarkup(<FailureNotice error={error} />))).toBe(
      'Fault The list could not be read.',
    );
    const asking = renderToStaticMarkup(<FailureNotice error={error} onAskAgain={() => undefined} />);
    expect(textOf(asking)).toBe('Fault The list could not be read. Ask again');
    expect(asking).toMatch(/<button[^>]*>Ask again<\/button>/);
  });

  it.each([
    ['good', 'Good'],
    ['look', 'Needs a look'],
    ['notUsable', 'Not usable'],
  ] as const)('a run of quality %s says "%s" with its reasons', (verdict, word) => {
    const markup = renderToStaticMarkup(
      <QualityMark
        quality={{ verdict, reasons: [{ code: 'zero', severity: 'look', sentence: 'The zero moved.' }] }}
      />,
    );
    expect(textOf(markup)).toBe(`Quality: ${word} The zero moved.`);
    expect(markup).toContain('<svg');
  });

  it('a panel is a region named by its title, a row a term with its value', () => {
    const markup = renderToStaticMarkup(
      <Panel title="Figures">
        <DataList>
          <DataRow name="Final torque">509 N·m</DataRow>
        </DataList>
      </Panel>,
    );
    const id = /aria-labelledby="([^"]+)"/.exec(markup)?.[1];
    expect(markup).toContain(`<h2 id="${id}">Figures</h2>`);
    expect(markup).toContain('<dt>Final torque</dt>');
  });
});
