import { renderToStaticMarkup } from 'react-dom/server';
import { describe, expect, it } from 'vitest';
import { AudienceLink } from '../../../../renderer/bench/AudienceLink.tsx';
import { BenchMessages } from '../../../../renderer/bench/BenchMessages.tsx';
import { preparationFields, type Typed } from '../../../../renderer/bench/preparation-form.ts';
import { PreparationStrip } from '../../../../renderer/bench/PreparationStrip.tsx';
import { SheetProgress } from '../../../../renderer/bench/SheetProgress.tsx';
import { WordsTogether } from '../../../../renderer/bench/WordsTogether.tsx';
import { AppError, type ErrorCode } from '../../../../shared-lib/app-error.ts';
import { demoSheet, nothingFound } from '../../../helpers/scripted-sheet.ts';

const textOf = (markup: string): string => markup.replaceAll(/<[^>]*>/g, '');
const ignore = (): void => undefined;

describe('what stands on the screen with a run sheet', () => {
  it('marks a value that was carried over, and one that is typed no more', () => {
    const strip = (typed: Typed): string =>
      renderToStaticMarkup(
        <PreparationStrip
          draft={{
            fields: preparationFields(['packVolts'], false),
            prefilled: { ...nothingFound, packRestedV: 20.4, isCarriedOver: true },
            typed,
            type: ignore,
            missing: [],
            found: () => ({ preparation: nothingFound, lastPackRestedV: null }),
          }}
        />,
      );
    expect(strip({})).toContain('value="20.4\u202fV"');
    expect(textOf(strip({}))).toContain('carried over, not read anew');
    expect(textOf(strip({ packRestedV: '20.1' }))).not.toContain('carried over');
  });

  it('says progress in words, and draws it as a share of what counts', () => {
    const markup = renderToStaticMarkup(
      <SheetProgress sheet={{ ...demoSheet, totalCount: 24, doneCount: 12, skippedCount: 6 }} />,
    );
    expect(textOf(markup)).toContain('Round 2 of 3');
    expect(textOf(markup)).toContain('12 of 24 counted pulls done, 6 skipped · Three tools');
    expect(markup.match(/width:[\d.]+%/g)).toEqual(['width:50%', 'width:25%']);
    const empty = renderToStaticMarkup(
      <SheetProgress sheet={{ ...demoSheet, totalCount: 0, doneCount: 0 }} />,
    );
    expect(empty).not.toContain('NaN');
  });

  it('takes another window that went on for no fault of the bench', () => {
    const said = (code: ErrorCode): string =>
      textOf(
        renderToStaticMarkup(
          <BenchMessages
            error={new AppError(code, 'Another window has gone on.')}
            onCloseError={ignore}
            leftSheet={null}
            onPutBack={ignore}
          />,
        ),
      );
    expect(said('bench-moved-on')).toMatch(/^Caution Another window has gone on\./);
    expect(said('invalid-state')).toMatch(/^Fault /);
  });

  it('offers to put a sheet back that was taken off', () => {
    const markup = renderToStaticMarkup(
      <BenchMessages
        error={null}
        onCloseError={ignore}
        leftSheet={{ id: 's', name: 'Three tools' }}
        onPutBack={ignore}
      />,
    );
    expect(textOf(markup)).toMatch(/“Three tools” is off the bench.+Put it back/);
  });

  it('offers the audience view only where another window can be opened', () => {
    expect(renderToStaticMarkup(<AudienceLink host="browser" />)).toMatch(
      /href="\/audience" target="_blank" rel="noopener"/,
    );
    expect(renderToStaticMarkup(<AudienceLink host="desktop" />)).toBe('');
  });

  it('ends lines at commas without changing a word', () => {
    const text = 'Hollin H5, pack 2, a setting that goes on and on, run 2 of 3';
    const markup = renderToStaticMarkup(<WordsTogether text={text} />);
    expect(textOf(markup)).toBe(text);
    expect(markup).toContain('<span class="words-together">pack 2,</span>');
    expect(markup).not.toContain('>a setting that goes on and on,</span>');
  });
});
