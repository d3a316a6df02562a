/** The files of a data package, wherever they lie: a folder, a ZIP, a test. Names have forward slashes and no leading one. */
export interface PackageFiles {
  names(): string[];
  /** UTF-8. */
  text(name: string): Promise<string>;
  bytes(name: string): Promise<Uint8Array>;
}
