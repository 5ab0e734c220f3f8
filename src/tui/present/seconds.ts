// Times, differences and shares as the screen writes them; called by every panel and sentence.
import { rfc3339, type SessionUs } from "../../domain/time.ts";

/** Stands where there is no figure. */
const NO_FIGURE = "-";

function two(n: number): string {
  return String(n).padStart(2, "0");
}

/**
 * A run or sector time: `58.123`, `1:02.345`, `1:01:02.345`. Rounded first, so never `1:60.000`.
 *
 * @param timeS - s, null for none
 * @param decimals - 0 to 6
 */
export function runTime(timeS: number | null, decimals = 3): string {
  if (timeS === null || !Number.isFinite(timeS)) return NO_FIGURE;
  const unit = 10 ** decimals;
  const units = Math.round(Math.abs(timeS) * unit);
  const sign = timeS < 0 && units > 0 ? "-" : "";
  const whole = Math.floor(units / unit);
  const rest = decimals === 0 ? "" : `.${String(units % unit).padStart(decimals, "0")}`;
  const hours = Math.floor(whole / 3600);
  const minutes = Math.floor(whole / 60) % 60;
  const seconds = whole % 60;
  if (hours > 0) return `${sign}${String(hours)}:${two(minutes)}:${two(seconds)}${rest}`;
  if (minutes > 0) return `${sign}${String(minutes)}:${two(seconds)}${rest}`;
  return `${sign}${String(seconds)}${rest}`;
}

/** A time that is still running, in whole seconds gone by: `0:07`, `1:02`. The finish brings the exact one. */
export function runningTime(sinceS: number): string {
  if (!Number.isFinite(sinceS)) return NO_FIGURE;
  const whole = Math.max(0, Math.floor(sinceS));
  const hours = Math.floor(whole / 3600);
  const minutes = Math.floor(whole / 60) % 60;
  if (hours > 0) return `${String(hours)}:${two(minutes)}:${two(whole % 60)}`;
  return `${String(minutes)}:${two(whole % 60)}`;
}

/** How long ago, for gates and links: `42 s`, `3 min`, `1 h 05 min`. */
export function age(agoS: number): string {
  if (!Number.isFinite(agoS)) return NO_FIGURE;
  const whole = Math.max(0, Math.floor(agoS));
  if (whole < 120) return `${String(whole)} s`;
  const minutes = Math.floor(whole / 60);
  if (minutes < 60) return `${String(minutes)} min`;
  return `${String(Math.floor(minutes / 60))} h ${two(minutes % 60)} min`;
}

/** A figure with its sign: `-2.60`, `+0.15`; what rounds to nothing is `0.00`, without a sign. */
export function signed(value: number | null, decimals: number): string {
  if (value === null || !Number.isFinite(value)) return NO_FIGURE;
  const text = Math.abs(value).toFixed(decimals);
  if (Number(text) === 0) return text;
  return (value < 0 ? "-" : "+") + text;
}

/** A figure without a sign: `2.60`. */
export function plain(value: number | null, decimals: number): string {
  return value === null || !Number.isFinite(value) ? NO_FIGURE : Math.abs(value).toFixed(decimals);
}

/** A band in the rider's words: `between -4.2 and -0.1 s`. */
export function between(lowS: number, highS: number, decimals: number): string {
  return `between ${signed(lowS, decimals)} and ${signed(highS, decimals)} s`;
}

/** A standard uncertainty or half-width: `±0.003 s`, `+-1.9 s`. */
export function plusMinus(value: number, decimals: number, sign: string): string {
  return `${sign}${plain(value, decimals)} s`;
}

/** A share of one as a percentage with its sign: `-1.9 %`. */
export function signedPercent(share: number | null, decimals = 1): string {
  return share === null || !Number.isFinite(share)
    ? NO_FIGURE
    : `${signed(share * 100, decimals)} %`;
}

const formats = new Map<string, Intl.DateTimeFormat>();

/**
 * Wall-clock time of an instant in a zone: `10:42`, or `10:42:07` with seconds.
 *
 * @param zone - IANA name
 * @throws {RangeError} if there is no such zone
 */
export function clockTime(at: SessionUs, zone: string, withSeconds = false): string {
  const name = `${zone} ${String(withSeconds)}`;
  let format = formats.get(name);
  if (format === undefined) {
    format = new Intl.DateTimeFormat("en-GB", {
      timeZone: zone,
      hour: "2-digit",
      minute: "2-digit",
      ...(withSeconds ? { second: "2-digit" as const } : {}),
      hourCycle: "h23",
    });
    formats.set(name, format);
  }
  return format.format(new Date(rfc3339(at)));
}
