/**
 * Days' worth of average duty between the reading's instant and `days` later under the weekday profile of a
 * DutyModel. Whole weeks count 7; without a profile it is `days` itself. O(1).
 */
export function weekdayDays(weekday: readonly number[] | null, days: number): number {
  if (weekday === null) return days;
  const weeks = Math.floor(days / 7);
  let rest = days - 7 * weeks;
  let sum = 7 * weeks;
  for (let day = 0; rest > 0; day++) {
    sum += weekday[day]! * Math.min(rest, 1);
    rest -= 1;
  }
  return sum;
}
