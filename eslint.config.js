import tseslint from 'typescript-eslint'

const pure = [
  'units', 'readings', 'decoding', 'quality', 'chemistry', 'heat', 'equipment', 'alarms', 'callout', 'book', 'health', 'journal',
  'farm', 'incidents', 'planning', 'calculations', 'derive', 'ports',
]
const inRooms = (rooms) => rooms.map((room) => `daemon/${room}/**/*.ts`)
const worldly = ['Date', 'performance', 'setTimeout', 'setInterval', 'setImmediate', 'queueMicrotask', 'console', 'process']
const ban = (names) => ['error', ...names.map((name) => ({ name, message: 'outside world: take a port instead' }))]
const nowhere = [
  { selector: 'TSEnumDeclaration', message: 'use a union of string literals' },
  { selector: 'ExportDefaultDeclaration', message: 'name what you export' },
  { selector: 'ThrowStatement > NewExpression:not([callee.name=/Fault$/])', message: 'throw a Fault with a code (daemon/errors.ts)' },
]
const notInPureRooms = [
  { selector: 'ClassDeclaration', message: 'pure rooms export functions and types' },
  { selector: 'AwaitExpression, FunctionDeclaration[async=true], ArrowFunctionExpression[async=true]', message: 'pure rooms do not wait' },
]

// Flat config replaces a rule's options instead of merging them, so narrower entries repeat the wider list.
export default tseslint.config(
  { ignores: ['dist/**', 'node_modules/**', 'coverage/**'] },
  {
    files: ['{daemon,dashboards,tests}/**/*.{ts,tsx}'],
    extends: [tseslint.configs.base],
    languageOptions: { parserOptions: { projectService: true } },
    rules: {
      '@typescript-eslint/switch-exhaustiveness-check': ['error', { considerDefaultExhaustiveForUnions: false, requireDefaultForNonUnion: true }],
      '@typescript-eslint/no-floating-promises': 'error',
      '@typescript-eslint/no-misused-promises': 'error',
      '@typescript-eslint/only-throw-error': 'error',
      '@typescript-eslint/no-explicit-any': 'error',
      '@typescript-eslint/no-non-null-assertion': 'error',
      '@typescript-eslint/consistent-type-imports': 'error',
      'max-lines': ['error', { max: 300, skipBlankLines: true, skipComments: true }],
      'max-lines-per-function': ['error', { max: 60, skipBlankLines: true, skipComments: true }],
      'max-params': ['error', 4],
      'no-restricted-syntax': ['error', ...nowhere],
    },
  },
  // The doors to the outside and the tables of words may be long; a function there reads like a list.
  { files: ['dashboards/**/*.tsx', 'daemon/http/**/*.ts'], rules: { 'max-lines-per-function': ['error', { max: 120, skipBlankLines: true, skipComments: true }] } },
  { files: ['tests/**/*.{ts,tsx}'], rules: { 'max-lines': 'off', 'max-lines-per-function': 'off', 'no-restricted-syntax': ['error', nowhere[0]], 'no-restricted-globals': ban(['setTimeout', 'setInterval']) } },
  { files: ['tests/{support,end-to-end,bench}/**/*.ts'], rules: { 'no-restricted-globals': 'off' } },
  {
    files: ['daemon/**/*.ts'],
    ignores: ['daemon/system/**', 'daemon/cli/**', 'daemon/main.ts'],
    rules: {
      'no-restricted-globals': ban(worldly),
      'no-restricted-properties': ['error', { object: 'Math', property: 'random', message: 'take a seeded random source as an argument' }],
    },
  },
  { files: inRooms([...pure, 'watch']), rules: { 'no-restricted-globals': ban([...worldly, 'fetch']) } },
  { files: inRooms(pure), rules: { 'no-restricted-syntax': ['error', ...nowhere, ...notInPureRooms] } },
)
