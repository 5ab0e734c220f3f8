/**
 * The layering rule. `may` is the whole of it: a folder of src imports itself and what its line
 * allows. Everything else here follows from the table. DEVELOPERS.md shows the same as a diagram.
 */
const may = {
  domain: [],
  protocol: ["domain"],
  clock: ["domain"],
  match: ["domain"],
  stats: ["domain"],
  explore: ["domain", "stats"],
  journal: ["domain"],
  session: ["domain", "journal", "protocol", "clock", "match"],
  advisor: ["domain", "stats"],
  summary: ["domain", "session", "stats", "advisor", "explore"],
  report: ["domain", "summary"],
  sheet: ["domain", "journal"],
  calibrate: ["domain", "stats", "advisor", "summary"],
  store: ["domain", "journal"],
  source: ["domain", "protocol"],
  app: ["domain", "journal", "protocol", "sheet", "session", "summary"],
  tui: ["domain", "summary", "app"],
  cli: [
    "domain",
    "clock",
    "journal",
    "session",
    "summary",
    "report",
    "sheet",
    "calibrate",
    "store",
    "source",
    "app",
    "tui",
    "advisor",
  ],
};
const core = [
  "domain",
  "protocol",
  "clock",
  "match",
  "stats",
  "explore",
  "journal",
  "session",
  "advisor",
  "summary",
  "report",
  "sheet",
];

/** Which folders may import which npm packages; a package not named here is refused everywhere. */
const packages = {
  zod: ["journal", "protocol", "sheet"],
  "simple-statistics": ["stats", "clock", "match", "session", "advisor", "summary"],
  "better-sqlite3": ["store"],
  serialport: ["source"],
  ink: ["tui", "cli"],
  react: ["tui", "cli"],
  chalk: ["tui"],
  "string-width": ["tui"],
  "smol-toml": ["sheet"],
  "csv-parse": ["sheet"],
  "csv-stringify": ["report"],
  commander: ["cli"],
};
const npm = ["npm", "npm-dev", "npm-peer", "npm-optional", "npm-no-pkg", "npm-unknown"];
const any = (names) => `(${names.join("|")})`;

module.exports = {
  forbidden: [
    { name: "no-circular", severity: "error", from: {}, to: { circular: true } },
    { name: "no-unresolvable", severity: "error", from: {}, to: { couldNotResolve: true } },
    {
      name: "src-needs-no-test",
      severity: "error",
      from: { path: "^src/" },
      to: { path: "^test/" },
    },
    {
      name: "known-folders-only",
      comment: "a new folder under src needs a line in `may`",
      severity: "error",
      from: { path: "^src/", pathNot: `^src/${any(Object.keys(may))}/` },
      to: {},
    },
    ...Object.entries(may).map(([folder, allowed]) => ({
      name: `layer-${folder}`,
      severity: "error",
      from: { path: `^src/${folder}/` },
      to: { path: "^src/", pathNot: `^src/${any([folder, ...allowed])}/` },
    })),
    {
      name: "core-does-no-io",
      severity: "error",
      from: { path: `^src/${any(core)}/` },
      to: { dependencyTypes: ["core"] },
    },
    ...Object.entries(packages).map(([name, folders]) => ({
      name: `package-${name}`,
      severity: "error",
      from: { path: "^src/", pathNot: `^src/${any(folders)}/` },
      to: { path: `node_modules/(@types/)?${name}/` },
    })),
    {
      name: "package-not-listed",
      severity: "error",
      from: { path: "^src/" },
      to: {
        dependencyTypes: npm,
        pathNot: `node_modules/(@types/)?${any(Object.keys(packages))}/`,
      },
    },
  ],
  options: {
    doNotFollow: { path: "node_modules" },
    tsPreCompilationDeps: true,
    tsConfig: { fileName: "tsconfig.json" },
    enhancedResolveOptions: {
      exportsFields: ["exports"],
      conditionNames: ["import", "node", "default", "types"],
    },
  },
};
