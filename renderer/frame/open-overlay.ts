const OVERLAY = '[role=dialog], [role=alertdialog], [role=listbox], [role=menu]';

/**
 * Whether something lies over the page. What lies there has the keys wherever the focus is: a control that had it and was
 * disabled or taken away leaves it to the page below.
 */
export function isOverlayOpen(): boolean {
  return document.querySelector(OVERLAY) !== null;
}
