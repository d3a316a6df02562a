import { useEffect } from 'react';

/** What the window, its tab, a bookmark and a screen reader call this page (WCAG 2.2, 2.4.2). */
export function usePageTitle(title: string): void {
  useEffect(() => {
    document.title = `${title} – Proofarm`;
  }, [title]);
}
