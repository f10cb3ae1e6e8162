/** `1 error`, `2 errors`; `many` is the plural if it is not formed with an s. */
export const counted = (count: number, one: string, many = `${one}s`): string =>
  `${count} ${count === 1 ? one : many}`;
