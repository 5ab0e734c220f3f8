// One line's buffer; what is in it is not checked yet.
#include "frame.h"

void frame_start(frame_t *frame) {
  frame->state = FRAME_NOTHING;
  frame->length = 0;
}

static frame_result_t drop(frame_t *frame) {
  bool is_new = frame->state != FRAME_NOISE;
  frame->state = FRAME_NOISE;
  return is_new ? FRAME_BAD : FRAME_MORE;
}

frame_result_t frame_byte(frame_t *frame, uint8_t byte, stamp_t at) {
  if (byte == '\r') return FRAME_MORE;
  if (byte == ':') {
    bool is_broken_off = frame->state == FRAME_INSIDE;
    frame->state = FRAME_INSIDE;
    frame->length = 0;
    frame->began = at;
    return is_broken_off ? FRAME_BAD : FRAME_MORE;
  }
  if (byte == '\n') {
    bool is_line = frame->state == FRAME_INSIDE;
    frame->state = FRAME_NOTHING;
    return is_line ? FRAME_LINE : FRAME_MORE;
  }
  if (frame->state != FRAME_INSIDE) return drop(frame);
  if (byte < 0x20 || byte > 0x7E || frame->length == FRAME_MOST) return drop(frame);
  frame->text[frame->length] = (char)byte;
  frame->length = (uint8_t)(frame->length + 1u);
  return FRAME_MORE;
}
