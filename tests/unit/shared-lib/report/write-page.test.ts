import { describe, expect, it } from 'vitest';
import { writePage } from '../../../../shared-lib/report/page/write-page.ts';
import type { Report, ReportBlock } from '../../../../shared-lib/report/report-model.ts';

const tools = { fontCss: () => '/* fonts */', formatInstant: (instant: string) => `at ${instant}` };

function pageOf(blocks: ReportBlock[], change: Partial<Report> = {}): string {
  return writePage(
    {
      title: 'Hollin H5 <script>alert(1)</script> & "others"',
      subtitle: 'sub',
      madeAt: '2026-04-03T09:00:00.000Z',
      softwareVersion: '0.1.0',
      benchName: '</title><img src=x onerror=alert(2)>',
      isSimulated: true,
      torqueUnit: 'Nm',
      sections: [{ heading: 'One & only', blocks }],
      ...change,
    },
    tools,
  );
}

describe('a report as a page', () => {
  it('takes no text for markup, wherever it stands', () => {
    const hostile = '<img src=x onerror=alert(1)>"\'&';
    const page = pageOf([
      { kind: 'text', text: hostile },
      { kind: 'list', items: [hostile] },
      { kind: 'caution', text: hostile },
      { kind: 'facts', rows: [{ label: hostile, value: hostile }] },
      {
        kind: 'table',
        caption: hostile,
        columns: [{ label: hostile, align: 'end' }],
        rows: [[hostile]],
      },
      { kind: 'trail', events: [{ at: hostile, text: hostile }] },
    ]);
    expect(page).not.toMatch(/<img|<script|onerror=alert\(\d\)>(?!&)/);
    expect(page).toContain('&lt;img src=x onerror=alert(1)&gt;');
  });

  it('loads nothing and runs nothing', () => {
    const page = pageOf([{ kind: 'text', text: 'words' }]);
    expect(page).toMatch(/Content-Security-Policy" content="default-src 'none';/);
    expect(page).not.toMatch(/<script|<link|<iframe|(?:src|href)="(?!#)|url\((?!data:)|@import/);
  });

  it('has a title, a language, headings in order and a list of contents that leads to them', () => {
    const page = pageOf([{ kind: 'text', text: 'words' }]);
    expect(page).toContain('<html lang="en">');
    expect(page).toContain('<title>Hollin H5 &lt;script&gt;');
    expect(page.match(/<h1>/g)).toHaveLength(1);
    expect(page).toContain('<a href="#section-1">One &amp; only</a>');
    expect(page).toContain('<h2 id="section-1">One &amp; only</h2>');
  });

  it('names the heads of rows and columns of a table for those who do not see it', () => {
    const page = pageOf([
      {
        kind: 'table',
        caption: 'A table',
        columns: [
          { label: 'No.', align: 'end' },
          { label: 'Tool', align: 'start' },
        ],
        rows: [['1', 'Hollin H5\nsecond line']],
      },
    ]);
    expect(page).toContain('<caption>A table</caption>');
    expect(page).toContain('<th scope="col" class="end">No.</th><th scope="col">Tool</th>');
    expect(page).toContain('<th scope="row" class="end">1</th><td>Hollin H5<br>second line</td>');
  });

  it('marks a demonstration as one, and nothing else', () => {
    expect(pageOf([])).toContain('Simulated: a demonstration');
    expect(pageOf([], { isSimulated: false })).not.toContain('Simulated');
  });

  it('draws a chart for light and for dark, and shows the light one on paper', () => {
    const page = pageOf([
      {
        kind: 'chart',
        caption: 'Means',
        chart: {
          kind: 'means',
          title: 'Means <of> all',
          subtitle: '',
          notes: [],
          quantity: 'torque',
          quantityWords: 'sustained torque',
          rows: [{ label: 'A <b>', colour: 0, mean: 400, low: 390, high: 410, runs: [395, 405] }],
          levels: [],
        },
      },
    ]);
    expect(page.match(/<svg /g)).toHaveLength(2);
    expect(page).toContain('@media screen and (prefers-color-scheme:dark)');
    expect(page).not.toContain('A <b>');
  });

  it('gives a moment of the trail for machines as it is stored', () => {
    const page = pageOf([{ kind: 'trail', events: [{ at: '2026-03-31T11:00:00.000Z', text: 'Kept.' }] }]);
    expect(page).toContain('<time datetime="2026-03-31T11:00:00.000Z">at 2026-03-31T11:00:00.000Z</time>');
  });
});
