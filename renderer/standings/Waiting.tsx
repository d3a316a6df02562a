import { type ReactNode, useEffect, useState } from 'react';

/** What takes less is there before anybody could read that it is awaited. */
const SHOWN_AFTER_MS = 300;

/** Says what is awaited once it takes a moment. */
export function Waiting({
  isLoading,
  children,
}: {
  readonly isLoading: boolean;
  readonly children: ReactNode;
}) {
  return (
    <div role="status" className="standings-status">
      {isLoading ? <LateWords>{children}</LateWords> : null}
    </div>
  );
}

function LateWords({ children }: { readonly children: ReactNode }) {
  const [isLate, setIsLate] = useState(false);
  useEffect(() => {
    const timer = setTimeout(() => setIsLate(true), SHOWN_AFTER_MS);
    return () => clearTimeout(timer);
  }, []);
  return isLate ? <p>{children}</p> : null;
}
