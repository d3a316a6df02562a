import ts from 'typescript';

/** One small change of a source text. */
export interface Mutant {
  /** Offsets in the text of the file. */
  readonly start: number;
  readonly end: number;
  /** From 1. */
  readonly line: number;
  /** The line of the source, without what stands before and behind. */
  readonly lineText: string;
  readonly operator: MutationOperator;
  /** What stands there, and what stands there instead: '' where a statement is taken out. */
  readonly original: string;
  readonly replacement: string;
}

export type MutationOperator =
  'arithmetic' | 'sign' | 'comparison' | 'logic' | 'branch' | 'constant' | 'function' | 'statement' | 'array';

type Change = readonly [operator: MutationOperator, replacement: string];

const { SyntaxKind: Kind } = ts;

const swappedOperators: Readonly<Record<string, readonly Change[]>> = {
  '+': [['arithmetic', '-']],
  '-': [['arithmetic', '+']],
  '*': [['arithmetic', '/']],
  '/': [['arithmetic', '*']],
  '%': [['arithmetic', '*']],
  '**': [['arithmetic', '*']],
  '<': [
    ['comparison', '<='],
    ['comparison', '>='],
  ],
  '<=': [
    ['comparison', '<'],
    ['comparison', '>'],
  ],
  '>': [
    ['comparison', '>='],
    ['comparison', '<='],
  ],
  '>=': [
    ['comparison', '>'],
    ['comparison', '<'],
  ],
  '===': [['comparison', '!==']],
  '!==': [['comparison', '===']],
  '==': [['comparison', '!=']],
  '!=': [['comparison', '==']],
  '&&': [['logic', '||']],
  '||': [['logic', '&&']],
  '+=': [['arithmetic', '-=']],
  '-=': [['arithmetic', '+=']],
  '*=': [['arithmetic', '/=']],
  '/=': [['arithmetic', '*=']],
};

const swappedFunctions: Readonly<Record<string, string>> = {
  'Math.min': 'Math.max',
  'Math.max': 'Math.min',
  'Math.floor': 'Math.ceil',
  'Math.ceil': 'Math.floor',
  'Math.round': 'Math.floor',
  some: 'every',
  every: 'some',
};

/** Every mutant of a TypeScript file, in the order of its text; words, types and imports have none. */
export function listMutants(text: string): Mutant[] {
  const source = parseSource(text);
  const lines = text.split('\n');
  const mutants: Mutant[] = [];
  const visit = (node: ts.Node): void => {
    if (!hasBehaviour(node)) return;
    const [start, end] = [node.getStart(source), node.end];
    const line = source.getLineAndCharacterOfPosition(start).line + 1;
    const place = {
      start,
      end,
      line,
      lineText: lines[line - 1]?.trim() ?? '',
      original: text.slice(start, end),
    };
    for (const [operator, replacement] of changesOf(node, source)) {
      mutants.push({ ...place, operator, replacement });
    }
    ts.forEachChild(node, visit);
  };
  visit(source);
  return mutants;
}

export function parseSource(text: string): ts.SourceFile {
  return ts.createSourceFile('source.ts', text, ts.ScriptTarget.Latest, true, ts.ScriptKind.TS);
}

/** Types are gone when the program runs, and a list on the left of an assignment is a pattern, not a value. */
export function hasBehaviour(node: ts.Node): boolean {
  if (ts.isTypeNode(node) || ts.isInterfaceDeclaration(node) || ts.isTypeAliasDeclaration(node)) return false;
  return !ts.isImportDeclaration(node) && !ts.isExportDeclaration(node) && !isPattern(node);
}

function isPattern(node: ts.Node): boolean {
  return (
    ts.isArrayLiteralExpression(node) &&
    ts.isBinaryExpression(node.parent) &&
    node.parent.left === node &&
    node.parent.operatorToken.kind === Kind.EqualsToken
  );
}

function changesOf(node: ts.Node, source: ts.SourceFile): Change[] {
  if (ts.isSourceFile(node)) return [];
  if (ts.isBinaryExpression(node)) return changesOfOperator(node, source);
  if (ts.isPrefixUnaryExpression(node) || ts.isPostfixUnaryExpression(node))
    return changesOfSign(node, source);
  if (ts.isConditionalExpression(node)) return [['branch', swappedChoice(node, source)]];
  if (ts.isNumericLiteral(node)) return isNumberInUse(node) ? changesOfNumber(node) : [];
  if (node.kind === Kind.TrueKeyword) return [['constant', 'false']];
  if (node.kind === Kind.FalseKeyword) return [['constant', 'true']];
  if (ts.isCallExpression(node)) return changesOfCall(node, source);
  if (ts.isArrayLiteralExpression(node)) return node.elements.length > 0 ? [['array', '[]']] : [];
  if (isRemovable(node)) return [['statement', '']];
  if (isCondition(node)) {
    return [
      ['branch', 'true'],
      ['branch', 'false'],
    ];
  }
  return [];
}

function changesOfOperator(node: ts.BinaryExpression, source: ts.SourceFile): Change[] {
  const operator = node.operatorToken.getText(source);
  const isJoining = operator.startsWith('+') && (isText(node.left) || isText(node.right));
  const swapped = isJoining ? [] : (swappedOperators[operator] ?? []);
  const left = node.left.getText(source);
  const right = node.right.getText(source);
  const changes = swapped.map(([kind, other]): Change => {
    // The left side of an assignment stands as it is; everything else keeps its order of evaluation by parentheses.
    return other.endsWith('=') && kind === 'arithmetic'
      ? [kind, `${left} ${other} ${right}`]
      : [kind, `(${left}) ${other} (${right})`];
  });
  return isCondition(node) ? [...changes, ['branch', 'true'], ['branch', 'false']] : changes;
}

function isText(node: ts.Expression): boolean {
  if (ts.isStringLiteralLike(node) || ts.isTemplateExpression(node)) return true;
  if (ts.isParenthesizedExpression(node)) return isText(node.expression);
  if (ts.isConditionalExpression(node)) return isText(node.whenTrue) || isText(node.whenFalse);
  if (ts.isCallExpression(node))
    return /\.(join|toFixed|padStart|padEnd|slice)$/.test(node.expression.getText());
  return ts.isBinaryExpression(node) && (isText(node.left) || isText(node.right));
}

function changesOfSign(
  node: ts.PrefixUnaryExpression | ts.PostfixUnaryExpression,
  source: ts.SourceFile,
): Change[] {
  const operand = node.operand.getText(source);
  if (node.operator === Kind.MinusToken) return [['sign', operand]];
  if (node.operator === Kind.ExclamationToken) return [['logic', operand]];
  return [];
}

function swappedChoice(node: ts.ConditionalExpression, source: ts.SourceFile): string {
  const [condition, whenTrue, whenFalse] = [node.condition, node.whenTrue, node.whenFalse].map((part) =>
    part.getText(source),
  );
  return `(${condition ?? ''}) ? (${whenFalse ?? ''}) : (${whenTrue ?? ''})`;
}

/**
 * Names of properties are no numbers; and what stands behind `??` for an element of a list is there for the compiler, which
 * does not know that the list is long enough.
 */
function isNumberInUse(node: ts.NumericLiteral): boolean {
  const { parent } = node;
  if (ts.isPropertyAssignment(parent) && parent.name === node) return false;
  return !(
    ts.isBinaryExpression(parent) &&
    parent.operatorToken.kind === Kind.QuestionQuestionToken &&
    parent.right === node &&
    ts.isElementAccessExpression(parent.left)
  );
}

function changesOfNumber(node: ts.NumericLiteral): Change[] {
  const value = Number(node.text);
  if (value === 0) return [['constant', '1']];
  // A wrong count is wrong by one, a wrong limit by a tenth.
  const other = Number.isInteger(value) && Math.abs(value) < 1000 ? value + 1 : value * 1.1;
  const changes: Change[] = [['constant', String(other)]];
  if (value === 1) return [...changes, ['constant', '0']];
  // Under a minus the sign is changed by leaving that out.
  return ts.isPrefixUnaryExpression(node.parent) ? changes : [...changes, ['sign', `(-${node.text})`]];
}

function changesOfCall(node: ts.CallExpression, source: ts.SourceFile): Change[] {
  const { expression } = node;
  // A part of an optional chain cannot be taken out of it.
  if (!ts.isPropertyAccessExpression(expression) || ts.isOptionalChain(node)) return [];
  const name = expression.name.text;
  const called = expression.expression.getText(source);
  const other = swappedFunctions[`${called}.${name}`] ?? swappedFunctions[name];
  if (other === undefined) return [];
  const callee = other.startsWith('Math.') ? other : `${called}.${other}`;
  return [
    ['function', `${callee}(${node.arguments.map((argument) => argument.getText(source)).join(', ')})`],
  ];
}

function isRemovable(node: ts.Node): boolean {
  return (
    ts.isExpressionStatement(node) ||
    ts.isThrowStatement(node) ||
    ts.isContinueStatement(node) ||
    ts.isBreakStatement(node)
  );
}

function isCondition(node: ts.Node): boolean {
  return ts.isIfStatement(node.parent) && node.parent.expression === node;
}
