import { execFile } from 'node:child_process';
import { z } from 'zod';

export interface Vulnerability {
  readonly name: string;
  readonly severity: string;
  readonly titles: readonly string[];
}

/** Not asked is not "none": where the registry does not answer, that is what is said. */
export type VulnerabilityCheck =
  | { readonly isChecked: true; readonly found: readonly Vulnerability[] }
  | { readonly isChecked: false; readonly why: string };

const WAIT_MS = 60_000;

const auditSchema = z.object({
  vulnerabilities: z.record(
    z.string(),
    z.object({
      name: z.string(),
      severity: z.string(),
      via: z.array(z.union([z.string(), z.object({ title: z.string() })])),
    }),
  ),
  metadata: z.object({ dependencies: z.object({ total: z.number() }) }),
});

/** What `npm audit` says of the versions in package-lock.json. */
export async function askForVulnerabilities(projectRoot: string): Promise<VulnerabilityCheck> {
  const npm = process.env['npm_execpath'];
  if (npm === undefined) return { isChecked: false, why: 'start it as "npm run licences"' };
  const said = await new Promise<string>((resolve) => {
    // It ends with an error where it finds something, so that only what it writes counts.
    execFile(
      process.execPath,
      [npm, 'audit', '--json'],
      { cwd: projectRoot, timeout: WAIT_MS, maxBuffer: 64 * 2 ** 20 },
      (_error, stdout) => {
        resolve(stdout);
      },
    );
  });
  return readAudit(said);
}

/** An answer of `npm audit --json`. */
export function readAudit(said: string): VulnerabilityCheck {
  let answer: unknown;
  try {
    answer = JSON.parse(said);
  } catch {
    return { isChecked: false, why: 'the registry gave no answer' };
  }
  const read = auditSchema.safeParse(answer);
  if (!read.success) return { isChecked: false, why: messageIn(answer) };
  return {
    isChecked: true,
    found: Object.values(read.data.vulnerabilities).map(({ name, severity, via }) => ({
      name,
      severity,
      titles: via.map((cause) => (typeof cause === 'string' ? `through ${cause}` : cause.title)),
    })),
  };
}

/** Those that reach people: of packages that ship, and of Electron, which the installers put around the program. */
export function unsafeForPeople(
  check: VulnerabilityCheck,
  shipped: readonly { readonly name: string }[],
): readonly Vulnerability[] {
  if (!check.isChecked) return [];
  const names = new Set(['electron', ...shipped.map(({ name }) => name)]);
  return check.found.filter(({ name }) => names.has(name));
}

function messageIn(answer: unknown): string {
  const read = z.object({ message: z.string() }).safeParse(answer);
  return read.success ? `the registry answered: ${read.data.message}` : 'the answer could not be read';
}
