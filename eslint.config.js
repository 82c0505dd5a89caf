import js from '@eslint/js'
import prettier from 'eslint-config-prettier'
import jest from 'eslint-plugin-jest'
import globals from 'globals'
import tseslint from 'typescript-eslint'

const clockMessage = 'Only src/platform/clock.ts reads the time; take `now` or `today` as an argument.'

/** Things banned everywhere, each with what to do instead. */
const banned = [
  { selector: "NewExpression[callee.name='Date'][arguments.length=0]", message: clockMessage },
  {
    selector: "CallExpression[callee.object.name='Date'][callee.property.name='now']",
    message: clockMessage,
  },
  {
    selector: "CallExpression[callee.object.name='DateTime'][callee.property.name=/^(now|local|utc)$/]",
    message: clockMessage,
  },
  {
    selector: "MemberExpression[object.name='Math'][property.name='random']",
    message: 'Take ids and randomness as an argument (src/platform/ids.ts makes them).',
  },
  {
    selector: "MemberExpression[object.name='process'][property.name='env']",
    message: 'Only src/main reads the environment, through src/platform/config.ts.',
  },
  { selector: 'ExportDefaultDeclaration', message: 'Named exports only.' },
  {
    selector: 'CallExpression[callee.property.name=/^\\$(query|execute)RawUnsafe$/]',
    message: 'SQL lives in src/store/sql; bind it with src/store/statements.ts.',
  },
]

export default tseslint.config(
  { ignores: ['dist', 'src/generated', 'coverage', '.duebell', 'node_modules'] },
  { linterOptions: { reportUnusedDisableDirectives: 'error' } },
  js.configs.recommended,
  {
    files: ['**/*.ts'],
    extends: [...tseslint.configs.strictTypeChecked, ...tseslint.configs.stylisticTypeChecked],
    languageOptions: { parserOptions: { projectService: true, tsconfigRootDir: import.meta.dirname } },
    rules: {
      '@typescript-eslint/consistent-type-imports': 'error',
      '@typescript-eslint/switch-exhaustiveness-check': [
        'error',
        { considerDefaultExhaustiveForUnions: true },
      ],
      '@typescript-eslint/no-non-null-assertion': 'error',
      // Numbers in template texts are what this service writes all day.
      '@typescript-eslint/restrict-template-expressions': ['error', { allowNumber: true }],
      'no-restricted-syntax': ['error', ...banned],
      'max-lines': ['error', { max: 300, skipBlankLines: true, skipComments: true }],
      'max-lines-per-function': ['error', { max: 60, skipBlankLines: true, skipComments: true }],
      'max-params': ['error', 4],
      'max-depth': ['error', 3],
      complexity: ['error', 12],
      eqeqeq: ['error', 'always', { null: 'ignore' }],
    },
  },
  {
    files: [
      'src/platform/clock.ts',
      'src/platform/ids.ts',
      'src/main/**',
      'src/store/statements.ts',
      'prisma.config.ts',
    ],
    rules: { 'no-restricted-syntax': 'off' },
  },
  {
    files: ['tests/**/*.ts', 'scripts/**/*.ts'],
    extends: [jest.configs['flat/recommended']],
    rules: {
      // Tests and scripts read the environment, build dates and hold long tables.
      'no-restricted-syntax': 'off',
      'max-lines': ['error', { max: 500, skipBlankLines: true, skipComments: true }],
      'max-lines-per-function': 'off',
      'jest/expect-expect': ['error', { assertFunctionNames: ['expect', 'expect*', 'fc.assert'] }],
      'jest/no-identical-title': 'error',
      // A table-driven test may assert inside a branch of its own table.
      'jest/no-conditional-expect': 'off',
    },
  },
  {
    files: ['**/*.js', '**/*.cjs'],
    languageOptions: { globals: { module: 'writable', process: 'readonly' } },
  },
  {
    files: ['src/http/pages/assets/*.js'],
    languageOptions: { globals: globals.browser },
  },
  prettier,
)
