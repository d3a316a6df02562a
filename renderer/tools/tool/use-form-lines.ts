import { type RefObject, useRef, useState } from 'react';

export interface FormLinesState<Line> {
  /** Takes the focus when the control that had it is gone. */
  readonly sectionRef: RefObject<HTMLElement | null>;
  readonly isOpen: (line: Line) => boolean;
  readonly open: (line: Line) => void;
  readonly close: () => void;
  readonly add: (line: Line) => void;
  readonly change: (line: Line, part: Partial<Line>) => void;
  readonly remove: (line: Line) => void;
}

/** Which line of a table in a form is being filled in, and how its lines change. One with a problem stays open. */
export function useFormLines<Line extends { readonly id: string }>(
  lines: readonly Line[],
  onChange: (lines: readonly Line[]) => void,
  hasProblem: (line: Line) => boolean,
): FormLinesState<Line> {
  const sectionRef = useRef<HTMLElement>(null);
  const [openId, setOpenId] = useState<string | null>(null);
  return {
    sectionRef,
    isOpen: (line) => line.id === openId || hasProblem(line),
    open: ({ id }) => setOpenId(id),
    close: () => {
      setOpenId(null);
      sectionRef.current?.focus();
    },
    add: (line) => {
      onChange([...lines, line]);
      setOpenId(line.id);
    },
    change: (line, part) => {
      // Open because of its problem, it must not close while the last letter that it lacked is typed.
      setOpenId(line.id);
      onChange(lines.map((kept) => (kept.id === line.id ? { ...kept, ...part } : kept)));
    },
    remove: (line) => {
      onChange(lines.filter(({ id }) => id !== line.id));
      sectionRef.current?.focus();
    },
  };
}
