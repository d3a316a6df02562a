import { renderToStaticMarkup } from 'react-dom/server';
import { describe, expect, it } from 'vitest';
import { LinePicture } from '../../../../renderer/ui/picture/LinePicture.tsx';
import { roundRange, tickDecimals } from '../../../../renderer/ui/picture/picture-scale.ts';

describe('the range of a picture', () => {
  it.each([
    [[0.31, 0.39], { min: 0.3, max: 0.4 }],
    [[-3, 42], { min: -10, max: 50 }],
    [[100, 784], { min: 0, max: 800 }],
  ])('lies on round numbers about %j', (values, range) => {
    const found = roundRange(values);
    expect(found.min).toBeCloseTo(range.min, 12);
    expect(found.max).toBeCloseTo(range.max, 12);
  });

  it('has a height even for one value, for nothing, and past what is no number', () => {
    for (const values of [[5], [0], [], [Number.NaN, 2]]) {
      const { min, max } = roundRange(values);
      expect(max).toBeGreaterThan(min);
    }
  });

  it('shows as many decimals as the steps need', () => {
    expect([0.05, 0.2, 1, 50].map(tickDecimals)).toEqual([2, 1, 0, 0]);
  });
});

describe('the picture', () => {
  const markup = renderToStaticMarkup(
    <LinePicture
      summary="Three checks, one outside."
      xTitle="check"
      yTitle="error, %"
      lines={[
        {
          label: 'upper',
          look: 'limit',
          color: null,
          points: [
            { x: 1, y: 1 },
            { x: 2, y: Number.NaN },
            { x: 3, y: 1 },
          ],
        },
      ]}
      marks={[
        { x: 1, y: 0.5, shape: 'dot' },
        { x: 3, y: 2, shape: 'diamond' },
      ]}
    />,
  );

  it('has its summary as its name and a label at the end of the line', () => {
    expect(markup).toContain('role="img"');
    expect(markup).toContain('aria-label="Three checks, one outside."');
    expect(markup).toMatch(/<text class="picture-label"[^>]*>upper<\/text>/);
  });

  it('breaks a line where there is no value, and shows what lies outside by its shape', () => {
    const [line = ''] = /<path d="M[^"]*"/.exec(markup) ?? [];
    expect(line.match(/M/g)).toHaveLength(2);
    expect(markup).toContain('picture-mark-outside');
    expect(markup).not.toContain('NaN');
  });
});
