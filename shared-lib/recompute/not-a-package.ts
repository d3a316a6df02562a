/** Something in a package that cannot be read as what it has to be. Becomes a finding; nothing else is harmed by it. */
export class NotAPackage extends Error {
  readonly where: string;

  constructor(where: string, message: string) {
    super(message);
    this.name = 'NotAPackage';
    this.where = where;
  }
}
