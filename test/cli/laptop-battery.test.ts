// The laptop's battery, read from folders like those of Linux.
import { mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, it } from "vitest";
import { laptopBattery, laptopBatteryWords } from "../../src/cli/laptop-battery.ts";
import { emptyFolder } from "../store/on-disk.ts";

function supplies(all: Readonly<Record<string, Readonly<Record<string, string>>>>): string {
  const folder = emptyFolder();
  for (const [name, files] of Object.entries(all)) {
    mkdirSync(join(folder, name));
    for (const [file, text] of Object.entries(files)) {
      writeFileSync(join(folder, name, file), `${text}\n`);
    }
  }
  return folder;
}

const battery = { type: "Battery", capacity: "78", status: "Discharging" };

it("is read with its charge, mains and pads passed over", () => {
  const folder = supplies({
    AC: { type: "Mains", online: "0" },
    BAT0: battery,
    pad: { type: "Battery", scope: "Device", capacity: "12", status: "Discharging" },
  });
  const read = laptopBattery(folder);
  expect(read).toEqual({ percent: 78, isCharging: false });
  expect(read && laptopBatteryWords(read)).toBe("laptop 78 %");
});

it("two are one, and charging is said", () => {
  const folder = supplies({
    BAT0: battery,
    BAT1: { ...battery, capacity: "40", status: "Charging" },
  });
  const read = laptopBattery(folder);
  expect(read && laptopBatteryWords(read)).toBe("laptop 59 %, charging");
});

it.each([
  ["no folder", () => join(emptyFolder(), "none")],
  ["an empty folder", () => supplies({})],
  ["no battery", () => supplies({ AC: { type: "Mains" } })],
  ["a battery that tells nothing", () => supplies({ BAT0: { type: "Battery" } })],
  ["nonsense", () => supplies({ BAT0: { ...battery, capacity: "-3 %" } })],
])("%s gives nothing", (_, folder) => {
  expect(laptopBattery(folder())).toBeNull();
});

it("more than full is full", () => {
  expect(laptopBattery(supplies({ BAT0: { ...battery, capacity: "104" } }))?.percent).toBe(100);
});
