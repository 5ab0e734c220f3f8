// Type-aware lint only; Biome formats and does the rest.
import { dirname } from "node:path";
import tseslint from "typescript-eslint";

const core =
  "src/{domain,protocol,clock,match,stats,explore,journal,session,advisor,summary,report,sheet}/**";

export default tseslint.config(
  { ignores: ["dist", "coverage", "**/*.js", "**/*.cjs", "**/*.mjs"] },
  ...tseslint.configs.strictTypeChecked,
  {
    languageOptions: {
      parserOptions: { projectService: true, tsconfigRootDir: dirname(import.meta.dirname) },
    },
    rules: {
      "@typescript-eslint/consistent-type-imports": "error",
      "@typescript-eslint/switch-exhaustiveness-check": "error",
      "no-console": "error",
    },
  },
  { files: ["src/cli/**"], rules: { "no-console": "off" } },
  {
    // The core reads no clock, no random numbers and no environment: they are passed in.
    files: [core],
    rules: {
      "no-restricted-globals": [
        "error",
        "process",
        "console",
        "performance",
        "setTimeout",
        "setInterval",
        "setImmediate",
        "queueMicrotask",
        "fetch",
      ],
      "no-restricted-properties": [
        "error",
        { object: "Date", property: "now", message: "Pass the time in." },
        { object: "Math", property: "random", message: "Pass a seeded generator in." },
      ],
      "no-restricted-syntax": [
        "error",
        {
          selector: "NewExpression[callee.name='Date'][arguments.length=0]",
          message: "Pass the time in.",
        },
      ],
    },
  },
);
