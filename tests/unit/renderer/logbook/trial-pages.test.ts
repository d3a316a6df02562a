import { describe, expect, it } from 'vitest';
import type { Connection, RequestParams } from '../../../../shared-lib/api-contract.ts';
import { AppError } from '../../../../shared-lib/app-error.ts';
import type { TrialSummary } from '../../../../shared-lib/trial/trial-model.ts';
import { TrialPages } from '../../../../renderer/logbook/trial-pages.ts';
import { demoSummary } from './trial-samples.ts';

type Asked = RequestParams<'listTrials'>;

/** A list of trials behind a request whose answers a test lets go one by one. */
function list(total: number) {
  const asked: { readonly params: Asked; answer(prefix?: string): void; fail(): void }[] = [];
  const request = (_name: string, params: Asked) =>
    new Promise((resolve, reject) => {
      asked.push({
        params,
        answer(prefix = 'trial') {
          const length = Math.max(0, Math.min(params.limit, total - params.offset));
          const trials = Array.from({ length }, (_, index): TrialSummary => ({
            ...demoSummary,
            id: `${prefix}-${params.offset + index}`,
          }));
          resolve({ total, trials });
        },
        fail: () => reject(new AppError('database-locked', 'The database is locked.')),
      });
    });
  return { asked, pages: new TrialPages({ request } as unknown as Pick<Connection, 'request'>) };
}

const settled = () => new Promise((resolve) => setImmediate(resolve));
const idAt = (pages: TrialPages, index: number) => pages.getSnapshot().trials.get(index)?.id;

describe('pages of the Logbook', () => {
  it('asks for the first page with the query', async () => {
    const { asked, pages } = list(250);
    pages.ask({ search: 'H5', state: 'kept' });
    expect(asked.map(({ params }) => params)).toEqual([
      { search: 'H5', state: 'kept', offset: 0, limit: 100 },
    ]);
    asked[0]?.answer();
    await settled();
    expect(pages.getSnapshot().total).toBe(250);
    expect(idAt(pages, 99)).toBe('trial-99');
  });

  it('fetches each page that comes into sight once', async () => {
    const { asked, pages } = list(250);
    pages.ask({ search: '', state: null });
    asked[0]?.answer();
    await settled();
    pages.show(80, 120);
    pages.show(90, 130);
    expect(asked.map(({ params }) => params.offset)).toEqual([0, 100]);
    asked[1]?.answer();
    await settled();
    expect(idAt(pages, 0)).toBe('trial-0');
    expect(idAt(pages, 120)).toBe('trial-120');
  });

  it('keeps the old rows until a refresh is answered, whichever page comes first', async () => {
    const { asked, pages } = list(250);
    pages.ask({ search: '', state: null });
    asked[0]?.answer();
    await settled();
    pages.show(80, 120);
    asked[1]?.answer();
    await settled();
    pages.refresh();
    expect(idAt(pages, 0)).toBe('trial-0');
    asked[3]?.answer('new');
    asked[2]?.answer('new');
    await settled();
    expect([idAt(pages, 0), idAt(pages, 120)]).toEqual(['new-0', 'new-120']);
  });

  it('throws away the answer to a question that is out of date', async () => {
    const { asked, pages } = list(250);
    pages.ask({ search: '', state: null });
    pages.ask({ search: 'T6', state: null });
    asked[1]?.answer('right');
    asked[0]?.answer('late');
    await settled();
    expect(idAt(pages, 0)).toBe('right-0');
  });

  it('shows why a page could not be read, and asks again when it is shown again', async () => {
    const { asked, pages } = list(250);
    pages.ask({ search: '', state: null });
    asked[0]?.fail();
    await settled();
    expect(pages.getSnapshot().error?.code).toBe('database-locked');
    pages.show(0, 20);
    asked[1]?.answer();
    await settled();
    expect(pages.getSnapshot().error).toBeNull();
    expect(idAt(pages, 0)).toBe('trial-0');
  });
});
