// The derived tables as plain rows, for people with other tools; the store writes them, the exports
// print them. Times in seconds and RFC 3339 UTC.

import { unitOfValue } from "../domain/setup-values.ts";
import type { Column, Table } from "../domain/table.ts";
import { rfc3339, type SessionUs } from "../domain/time.ts";
import type { Summary } from "./summary.ts";

const text = (name: string): Column => ({ name, type: "TEXT" });
const real = (name: string): Column => ({ name, type: "REAL" });
const whole = (name: string): Column => ({ name, type: "INTEGER" });

/** Schema and rows of every derived table of the session file. */
export function derivedTables(summary: Summary): readonly Table[] {
  return [
    {
      name: "run",
      key: ["run_id"],
      columns: [
        text("run_id"),
        text("rider"),
        text("setup"),
        whole("k"),
        text("started_at"),
        real("time_s"),
        real("uncertainty_s"),
        text("status"),
        text("reason"),
        text("timed_by"),
        whole("provisional"),
        text("flags"),
        text("note"),
      ],
      rows: summary.runs.map((run) => ({
        run_id: run.runId,
        rider: run.rider,
        setup: run.setup,
        k: run.k,
        started_at: instant(run.startedAt),
        time_s: run.timeS,
        uncertainty_s: run.uncertaintyS,
        status: run.status,
        reason: run.reason,
        timed_by: run.timedBy,
        provisional: Number(run.provisional),
        flags: [...(run.day > 0 ? [`day ${String(run.day + 1)}`] : []), ...run.flags].join("; "),
        note: run.note,
      })),
    },
    {
      name: "sector_time",
      key: ["run_id", "sector"],
      columns: [text("run_id"), whole("sector"), text("name"), real("time_s")],
      rows: summary.runs.flatMap((run) =>
        run.sectorS.map((timeS, i) => ({
          run_id: run.runId,
          sector: i + 1,
          name: summary.sectors[i] ?? null,
          time_s: timeS,
        })),
      ),
    },
    {
      name: "passing",
      key: ["passing_id"],
      columns: [
        text("passing_id"),
        text("box"),
        whole("boot"),
        whole("seq"),
        whole("gate"),
        text("at"),
        real("uncertainty_s"),
        text("source"),
        text("run_id"),
        text("state"),
      ],
      rows: summary.passings.map((p) => ({
        passing_id: p.passingId,
        box: p.box,
        boot: p.boot,
        seq: p.boxSeq,
        gate: p.gate,
        at: instant(p.at),
        uncertainty_s: p.uncertaintyS,
        source: p.source,
        run_id: p.runId,
        state: p.state,
      })),
    },
    {
      name: "setup",
      key: ["setup_id"],
      columns: [text("setup_id"), text("name"), whole("baseline")],
      rows: summary.setups.map((s) => ({
        setup_id: s.id,
        name: s.name,
        baseline: Number(s.id === summary.baseline),
      })),
    },
    {
      name: "setup_value",
      key: ["setup_id", "key"],
      columns: [text("setup_id"), text("key"), text("value"), text("unit")],
      rows: summary.setups.flatMap((s) =>
        Object.entries(s.values).map(([key, value]) => ({
          setup_id: s.id,
          key,
          value: String(value),
          unit: unitOfValue(key),
        })),
      ),
    },
    {
      name: "swap",
      key: ["entry"],
      columns: [
        whole("entry"),
        text("at"),
        text("rider"),
        text("from_setup"),
        text("to_setup"),
        real("minutes"),
        whole("checked"),
      ],
      rows: summary.swaps.map((s) => ({
        entry: s.entrySeq,
        at: instant(s.at),
        rider: s.rider,
        from_setup: s.fromSetup,
        to_setup: s.toSetup,
        minutes: s.minutes,
        checked: Number(s.isChecked),
      })),
    },
    {
      name: "incident",
      key: ["entry"],
      columns: [whole("entry"), text("run_id"), whole("sector"), text("kind"), text("note")],
      rows: summary.incidents.map((i) => ({
        entry: i.entrySeq,
        run_id: i.runId,
        sector: i.sector,
        kind: i.kind,
        note: i.note,
      })),
    },
    {
      name: "rating",
      key: ["run_id", "aspect"],
      columns: [text("run_id"), text("aspect"), whole("score")],
      rows: summary.ratings.map((r) => ({ run_id: r.runId, aspect: r.aspect, score: r.score })),
    },
    {
      name: "measure",
      key: ["n"],
      columns: [
        whole("n"),
        text("at"),
        text("run_id"),
        text("rider"),
        text("setup"),
        text("key"),
        text("value"),
        text("unit"),
      ],
      rows: summary.measures.map((m, i) => ({
        n: i + 1,
        at: instant(m.at),
        run_id: m.runId,
        rider: m.rider,
        setup: m.setup,
        key: m.key,
        value: String(m.value),
        unit: m.unit,
      })),
    },
    comparisonTable(summary),
  ];
}

function comparisonTable(summary: Summary): Table {
  const rows = summary.comparison.riders.flatMap((rider) =>
    rider.parts.flatMap((part) =>
      part.pairs.map((pair) => ({
        rider: rider.rider,
        part: part.part,
        sector: part.sector ?? 0,
        setup: pair.setup,
        baseline: pair.baseline,
        runs: pair.runs,
        baseline_runs: pair.baseline_runs,
        difference_s: pair.difference_s,
        standard_error_s: pair.standard_error_s,
        df: pair.df,
        multiplier: pair.multiplier,
        band_low_s: pair.band_s?.[0] ?? null,
        band_high_s: pair.band_s?.[1] ?? null,
        inner_low_s: pair.inner_band_s?.[0] ?? null,
        inner_high_s: pair.inner_band_s?.[1] ?? null,
        cautious_s: pair.cautious_s,
        verdict: pair.verdict,
        called_at_run: pair.called_at_run,
        more_runs: pair.more_runs,
        chance_within_plan: pair.chance_within_plan,
      })),
    ),
  );
  return {
    name: "comparison",
    key: ["rider", "part", "sector", "setup"],
    columns: [
      text("rider"),
      text("part"),
      whole("sector"),
      text("setup"),
      text("baseline"),
      whole("runs"),
      whole("baseline_runs"),
      real("difference_s"),
      real("standard_error_s"),
      real("df"),
      real("multiplier"),
      real("band_low_s"),
      real("band_high_s"),
      real("inner_low_s"),
      real("inner_high_s"),
      real("cautious_s"),
      text("verdict"),
      whole("called_at_run"),
      whole("more_runs"),
      real("chance_within_plan"),
    ],
    rows,
  };
}

function instant(at: SessionUs | null): string | null {
  return at === null ? null : rfc3339(at);
}
