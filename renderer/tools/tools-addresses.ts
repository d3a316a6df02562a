/** Where the pages of the place Tools are found. */
export const toolsAddresses = {
  list: '/tools',
  newTool: '/tools/new',
  import: '/tools/import',
  rates: '/tools/rates',
} as const;

export function toolAddress(toolId: string): string {
  return `${toolsAddresses.list}/${encodeURIComponent(toolId)}`;
}
