import { NotAPackage } from '../../shared-lib/recompute/not-a-package.ts';
import { MOST_TEXT_BYTES, tooLongForText } from '../../shared-lib/recompute/package-files.ts';

/** The content of a file as UTF-8. Errors: NotAPackage where no text can be that long. */
export function textOf(name: string, content: Buffer): string {
  if (content.length > MOST_TEXT_BYTES) throw new NotAPackage(name, tooLongForText(content.length));
  return content.toString();
}
