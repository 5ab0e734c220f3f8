// Names that riders, set-ups and boxes go by; letters, digits, - and _ for people's, digits and
// capitals for boxes.

export type RiderId = string;
export type SetupId = string;
export type BoxId = string;
