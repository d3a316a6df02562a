export function ToolsPlace() {
  return <h1>Tools</h1>;
}
