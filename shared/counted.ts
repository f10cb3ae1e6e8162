/** `1 error`, `2 errors`; `many` where the plural takes more than an s. */
export const counted = (count: number, one: string, many = `${one}s`): string =>
  `${count} ${count === 1 ? one : many}`;
