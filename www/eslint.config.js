import js from '@eslint/js';
import svelte from 'eslint-plugin-svelte';
import { defineConfig, globalIgnores } from 'eslint/config';
import globals from 'globals';
import ts from 'typescript-eslint';
import svelteConfig from './svelte.config.js';

export default defineConfig(
  globalIgnores(['dist', 'public', 'src/pkg', 'playwright-report', 'test-results']),
  { linterOptions: { reportUnusedDisableDirectives: 'error' } },
  js.configs.recommended,
  ts.configs.recommendedTypeChecked,
  svelte.configs.recommended,
  // Prettier decides formatting; it is not linted.
  svelte.configs.prettier,
  {
    languageOptions: {
      parserOptions: {
        project: ['tsconfig.json', 'tsconfig.node.json'],
        tsconfigRootDir: import.meta.dirname,
        extraFileExtensions: ['.svelte'],
      },
    },
    rules: {
      // The compiler finds these, also in Svelte files.
      'no-undef': 'off',
      '@typescript-eslint/no-unused-vars': 'off',
      eqeqeq: ['error', 'always', { null: 'ignore' }],
      // Most dates and sets here are short-lived; lasting ones are in reactive fields.
      'svelte/prefer-svelte-reactivity': 'off',
      // ESLint does not know every warning of the compiler; svelte-check does.
      'svelte/no-unused-svelte-ignore': 'off',
      // `{', '}` keeps a space at the end of an element.
      'svelte/no-useless-mustaches': 'off',
    },
  },
  {
    files: ['src/**/*.svelte', 'src/**/*.svelte.ts'],
    languageOptions: { parserOptions: { parser: ts.parser, svelteConfig } },
  },
  {
    // One component's props are `any` to another here, as is what a test reads from the page; svelte-check and tsc type
    // the rest.
    files: ['src/**/*.svelte', 'tests/**'],
    rules: {
      '@typescript-eslint/no-unsafe-argument': 'off',
      '@typescript-eslint/no-unsafe-assignment': 'off',
      '@typescript-eslint/no-unsafe-call': 'off',
      '@typescript-eslint/no-unsafe-member-access': 'off',
      '@typescript-eslint/no-unsafe-return': 'off',
    },
  },
  {
    // Tests replace the browser's own interfaces, including their faults.
    files: ['tests/**'],
    rules: {
      '@typescript-eslint/prefer-promise-reject-errors': 'off',
      '@typescript-eslint/require-await': 'off',
      '@typescript-eslint/unbound-method': 'off',
    },
  },
  {
    files: ['**/*.js', '**/*.mjs'],
    extends: [ts.configs.disableTypeChecked],
    languageOptions: { globals: globals.node },
  },
);
