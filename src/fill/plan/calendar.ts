/** Days as `2026-12-04`; they compare as texts. All arithmetic is in UTC, so that no clock change moves a day. */

import { weekdays } from './plan-file.js';

const dayMs = 86_400_000;

export function addDays(day: string, days: number): string {
  return new Date(Date.parse(`${day}T00:00:00Z`) + days * dayMs).toISOString().slice(0, 10);
}

export function weekdayOf(day: string): (typeof weekdays)[number] {
  return weekdays[new Date(`${day}T00:00:00Z`).getUTCDay()]!;
}

/** @param off days of the week, and single days */
export function isWorkingDay(day: string, off: readonly string[]): boolean {
  return !off.includes(day) && !off.includes(weekdayOf(day));
}

/** Working days from one day to another, both included. */
export function workingDays(from: string, to: string, off: readonly string[]): string[] {
  const days: string[] = [];
  for (let day = from; day <= to; day = addDays(day, 1)) if (isWorkingDay(day, off)) days.push(day);
  return days;
}

/** The last working day that is not after a day; `undefined` where none lies within a year. */
export function lastWorkingDay(until: string, off: readonly string[]): string | undefined {
  for (let back = 0; back < 366; back++) {
    const day = addDays(until, -back);
    if (isWorkingDay(day, off)) return day;
  }
  return undefined;
}

/** Minutes since midnight of a clock time, `HH:MM`. */
export function minutesOf(clock: string): number {
  const [hours, minutes] = clock.split(':').map(Number);
  return hours! * 60 + minutes!;
}

/** `HH:MM` some minutes after another; past midnight with `+1 d` behind it. */
export function clockAfter(clock: string, minutes: number): string {
  const all = Math.round(minutesOf(clock) + minutes);
  const days = Math.floor(all / 1440);
  const two = (value: number) => String(value).padStart(2, '0');
  return `${two(Math.floor((all % 1440) / 60))}:${two(all % 60)}${days > 0 ? ` +${days} d` : ''}`;
}
