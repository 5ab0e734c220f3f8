// Instants, branded by the clock that made them, so that one clock is never taken for another.

/** Microseconds of one box's clock since one boot of that box. */
export type BoxUs = number & { readonly clock: "box" };
/** Microseconds of the laptop's monotonic clock, comparable within one boot of that laptop. */
export type HostUs = number & { readonly clock: "host" };
/** Common session time: microseconds since 1970 UTC, running steadily through the session. */
export type SessionUs = number & { readonly clock: "session" };

/** Brands a count of microseconds as an instant of a box's clock. */
export function boxUs(us: number): BoxUs {
  return us as BoxUs;
}

/** Brands a count of microseconds as an instant of the laptop's monotonic clock. */
export function hostUs(us: number): HostUs {
  return us as HostUs;
}

/** Brands a count of microseconds since 1970 UTC as an instant of session time. */
export function sessionUs(us: number): SessionUs {
  return us as SessionUs;
}

/**
 * Session time as RFC 3339 in UTC with microseconds, e.g. `2026-05-09T09:30:00.250125Z`.
 *
 * @throws {RangeError} if the instant lies outside what a calendar date can hold
 * @see RFC 3339, section 5.6
 */
export function rfc3339(us: SessionUs): string {
  const whole = Math.round(us);
  const micros = String(((whole % 1e6) + 1e6) % 1e6).padStart(6, "0");
  return `${new Date(Math.floor(whole / 1e6) * 1000).toISOString().slice(0, -5)}.${micros}Z`;
}
