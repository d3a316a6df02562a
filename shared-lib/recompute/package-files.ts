/** The files of a data package, wherever they lie: a folder, a ZIP, a test. Names have forward slashes and no leading one. */
export interface PackageFiles {
  names(): string[];
  /** UTF-8, of at most MOST_TEXT_BYTES, which `checkFiles` sees to. Errors: NotAPackage. */
  text(name: string): Promise<string>;
  /** Errors: NotAPackage. */
  bytes(name: string): Promise<Uint8Array>;
}

/** The longest text that Node's engine can hold; one in UTF-8 has at least as many bytes. Records are read from their bytes. */
export const MOST_TEXT_BYTES = 2 ** 29 - 24;
