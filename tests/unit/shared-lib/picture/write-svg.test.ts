import { describe, expect, it } from 'vitest';
import { drawChart } from '../../../../shared-lib/charts/draw-chart.ts';
import { fontFace, fontPartsOf } from '../../../../shared-lib/picture/font-subsets.ts';
import type { Picture, Shape } from '../../../../shared-lib/picture/picture-model.ts';
import { lineShape, solid, textShape, withoutGround } from '../../../../shared-lib/picture/shapes.ts';
import { escapeXml, writeSvg } from '../../../../shared-lib/picture/write-svg.ts';
import { demoCharts, everyLook } from '../../../helpers/demo-charts.ts';

const picture = (shapes: readonly Shape[], changes: Partial<Picture> = {}): Picture => ({
  widthPx: 200,
  heightPx: 100,
  ground: '#ffffff',
  title: 'A title',
  description: 'What it shows',
  shapes,
  ...changes,
});
const type = { sizePx: 20, weight: 400 } as const;

describe('a picture as SVG', () => {
  it('has its size, its title and its description, and the font where there is one', () => {
    const svg = writeSvg(picture([]), '@font-face{font-family:Inter}');
    expect(svg).toMatch(
      /^<svg xmlns="http:\/\/www\.w3\.org\/2000\/svg" width="200" height="100" viewBox="0 0 200 100"/,
    );
    expect(svg).toContain(
      '<title>A title</title>\n<desc>What it shows</desc>\n<style>@font-face{font-family:Inter}</style>',
    );
    expect(writeSvg(picture([]), '')).not.toContain('<style>');
  });

  it('lets no text become markup, and leaves out what XML cannot hold', () => {
    const hostile = '</text><script>alert("1")</script>&\u0000\u0007\ud800';
    const svg = writeSvg(
      picture([textShape(hostile, 0, 20, { ...type, isProse: true }, '#000000')], { title: hostile }),
      '',
    );
    expect(svg).not.toContain('<script');
    expect(svg).not.toMatch(/[\u0000-\u0008\ud800-\udfff]/u);
    expect(svg).toContain('&lt;/text&gt;&lt;script&gt;alert(&quot;1&quot;)&lt;/script&gt;&amp;');
    expect(escapeXml('a\tb\n')).toBe('a\tb\n');
  });

  it('has a ground, or none at all', () => {
    expect(writeSvg(picture([]), '')).toContain('<rect width="200" height="100" fill="#ffffff"/>');
    expect(writeSvg(withoutGround(picture([])), '')).not.toContain('<rect');
  });

  it('lifts the pen at a gap, and gathers no error along a line', () => {
    const thirds = Float64Array.from({ length: 600 }, (_, index) => (index % 2 === 0 ? index / 6 : 0));
    const svg = writeSvg(
      picture([
        lineShape([0, 0, 10, 10.04, NaN, NaN, 20, 0, 30, 0], solid('#000000', 2)),
        lineShape(thirds, solid('#000000', 2)),
      ]),
      '',
    );
    const [first = '', second = ''] = [...svg.matchAll(/<path d="([^"]+)"/g)].map(([, path]) => path ?? '');
    expect(first).toBe('M0 0l10 10M20 0l10 0');
    const steps = [...second.matchAll(/l([\d.-]+) /g)].map(([, step]) => Number(step));
    expect(steps.reduce((sum, step) => sum + step, 0)).toBeCloseTo(598 / 6, 1);
    expect(writeSvg(picture([lineShape([NaN, NaN], solid('#000000', 2))]), '')).not.toContain('<path');
  });

  it('gives each figure of a column its own place, and turns text about its point', () => {
    const svg = writeSvg(
      picture([
        textShape('11', 100, 50, { sizePx: 2048, weight: 400 }, '#000000', { anchor: 'end' }),
        textShape('axis', 10, 50, type, '#000000', { anchor: 'middle', turnedDeg: -90 }),
      ]),
      '',
    );
    // Two cells of 1328 end at 100, and the figure of 833 stands in the middle of its cell.
    expect(svg).toContain('x="-2308.5 -980.5"');
    expect(svg).toContain(
      '<text x="10" y="50" font-size="20" fill="#000000" transform="rotate(-90 10 50)" text-anchor="middle">axis</text>',
    );
  });

  it('is of every demo chart a file small enough to be sent', () => {
    for (const chart of demoCharts) {
      for (const look of everyLook) expect(writeSvg(drawChart(chart, look), '').length).toBeLessThan(60_000);
    }
  });
});

describe('the font of a picture', () => {
  it('comes in the parts whose letters and weights it has', () => {
    const shapes = [
      textShape('Hollin', 0, 0, type, '#000000'),
      textShape('Ωmega Łódź', 0, 0, { ...type, weight: 700 }, '#000000'),
    ];
    expect(fontPartsOf({ shapes })).toEqual([
      { subset: 'latin', weight: 400 },
      { subset: 'latin', weight: 700 },
      { subset: 'latin-ext', weight: 700 },
      { subset: 'greek', weight: 700 },
    ]);
    expect(fontPartsOf({ shapes: [] })).toEqual([]);
    expect(fontFace({ subset: 'greek', weight: 700 }, 'woff2', 'AAAA')).toMatch(
      /^@font-face\{font-family:Inter;font-style:normal;font-weight:700;src:url\(data:font\/woff2;base64,AAAA\) format\("woff2"\);unicode-range:U\+0370/,
    );
  });
});
