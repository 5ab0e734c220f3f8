// The passing machine: ARMED -> CANDIDATE -> PASSING -> ARMED, or DOWN.
#include "pass.h"

#define DEAF_TICKS (50u * TICKS_PER_MS)
#define DOWN_TICKS (10u * TICKS_PER_S)

static bool is_over(stamp_t now, stamp_t since, uint32_t ticks) {
  return ticks_since(stamp_ticks(now), stamp_ticks(since)) >= (int32_t)ticks;
}

static bool tell(moment_t *out, char kind, stamp_t at, uint16_t aux) {
  out->kind = kind;
  out->at = at;
  out->aux = aux;
  return true;
}

void pass_start(pass_t *pass, stamp_t now) {
  pass->state = PASS_DEAF;
  pass->is_blocked = false;
  pass->pulses = 0;
  pass->glitches = 0;
  pass->first = pass->blocked = pass->cleared = now;
}

void pass_limits(pass_t *pass, uint32_t block_us, uint32_t rearm_us) {
  pass->block_ticks = block_us * TICKS_PER_US;
  pass->rearm_ticks = rearm_us * TICKS_PER_US;
}

bool pass_settle(pass_t *pass, stamp_t now, bool is_blocked, moment_t *out) {
  if (pass->state != PASS_DEAF || !is_over(now, pass->first, DEAF_TICKS)) return false;
  pass->is_blocked = is_blocked;
  pass->state = is_blocked ? PASS_DOWN : PASS_ARMED;
  return is_blocked && tell(out, 'X', now, 0);
}

bool pass_time(pass_t *pass, stamp_t now, moment_t *out) {
  if (pass->state == PASS_CANDIDATE && is_over(now, pass->first, pass->block_ticks)) {
    pass->state = PASS_PASSING;
    return tell(out, 'B', pass->first, 0);
  }
  if (pass->state != PASS_PASSING) return false;
  if (pass->is_blocked && is_over(now, pass->blocked, DOWN_TICKS)) {
    pass->state = PASS_DOWN;
    return tell(out, 'X', pass->blocked, 0);
  }
  if (!pass->is_blocked && is_over(now, pass->cleared, pass->rearm_ticks)) {
    pass->state = PASS_ARMED;
    return tell(out, 'C', pass->cleared, pass->pulses);
  }
  return false;
}

static void edge_blocked(pass_t *pass, stamp_t at) {
  pass->blocked = at;
  if (pass->state == PASS_ARMED) {
    pass->state = PASS_CANDIDATE;
    pass->first = at;
    pass->pulses = 1;
  } else if (pass->state == PASS_PASSING && pass->pulses < UINT16_MAX) {
    pass->pulses = (uint16_t)(pass->pulses + 1);
  }
}

static bool edge_clear(pass_t *pass, stamp_t at, moment_t *out) {
  pass->cleared = at;
  if (pass->state == PASS_CANDIDATE) {
    pass->state = PASS_ARMED;
    pass->glitches = (uint16_t)(pass->glitches + 1);
  } else if (pass->state == PASS_DOWN) {
    pass->state = PASS_ARMED;
    return tell(out, 'O', at, 0);
  }
  return false;
}

bool pass_edge(pass_t *pass, edge_t edge, moment_t *out) {
  if (pass->state == PASS_DEAF || edge.is_blocked == pass->is_blocked) return false;
  pass->is_blocked = edge.is_blocked;
  if (edge.is_blocked) {
    edge_blocked(pass, edge.at);
    return false;
  }
  return edge_clear(pass, edge.at, out);
}
