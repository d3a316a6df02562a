import type { ReactNode } from 'react';
import { Link } from 'wouter';
import './button.css';

export interface LinkButtonProps {
  readonly href: string;
  readonly look?: 'primary' | 'plain' | 'quiet';
  readonly children: ReactNode;
}

/** Leads to another page and looks like a button, where going there is the next right thing. */
export function LinkButton({ href, look = 'plain', children }: LinkButtonProps) {
  return (
    <Link href={href} className={`ui-button ui-button-${look} ui-button-normal ui-button-link`}>
      {children}
    </Link>
  );
}
