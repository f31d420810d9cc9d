import { readFileSync } from 'node:fs';
import { registerHooks } from 'node:module';
import { fileURLToPath } from 'node:url';
import { transformSync } from '@swc/core';

/**
 * Lets Node.js load `.tsx` files, which it does not by itself. Everything else it loads as it is.
 */
export function loadTsx(): void {
  if (isLoading) return;
  isLoading = true;
  registerHooks({
    load(url, context, nextLoad) {
      if (!url.split('?')[0]!.endsWith('.tsx')) return nextLoad(url, context);
      const filename = fileURLToPath(url.split('?')[0]!);
      const { code } = transformSync(readFileSync(filename, 'utf8'), {
        filename,
        sourceMaps: 'inline',
        swcrc: false,
        jsc: {
          target: 'es2024',
          parser: { syntax: 'typescript', tsx: true },
          transform: { react: { runtime: 'automatic' } },
        },
      });
      return { format: 'module', source: code, shortCircuit: true };
    },
  });
}

let isLoading = false;
