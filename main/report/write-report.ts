import { open } from 'node:fs/promises';
import type { Report } from '../../shared-lib/report/report-model.ts';
import { writePage } from '../../shared-lib/report/page/write-page.ts';
import { localInstant } from '../platform/local-instant.ts';
import { finishTarget } from '../work/finish-target.ts';
import type { Work } from '../work/work-tools.ts';
import { pageFontCss, readFontPieces } from './report-fonts.ts';
import { writeDocument } from './write-document.ts';

export interface ReportWork {
  readonly report: Report;
  readonly form: 'html' | 'pdf';
  readonly targetFile: string;
}

/**
 * Writes a report as one file, by way of `<targetFile>.part`; an existing file is never touched.
 *
 * Errors: those of `finishTarget`.
 */
export const writeReport: Work<ReportWork, { readonly bytes: number }> = async (
  { report, form, targetFile },
  tools,
) => {
  tools.progress(0, 'Laying out the report.');
  await tools.pause();
  const content = form === 'html' ? pageOf(report) : await writeDocument(report, localInstant);
  await tools.pause();
  tools.progress(0.9, 'Writing the file.');
  return finishTarget(targetFile, async (part) => {
    const file = await open(part, 'wx');
    try {
      await file.writeFile(content);
      await file.sync();
    } finally {
      await file.close();
    }
    return { bytes: content.byteLength };
  });
};

function pageOf(report: Report): Uint8Array {
  const pieces = readFontPieces();
  const page = writePage(report, {
    fontCss: (text) => pageFontCss(pieces, text),
    formatInstant: localInstant,
  });
  return Buffer.from(page, 'utf8');
}
