/**
 * A message for a face that has no code style: a terminal, a list of problems, a title in a menu. Names in
 * backticks are put in single quotes, as compilers print them.
 */
export function plainText(message: string): string {
  return message.replace(/`([^`\n]*)`/g, "'$1'");
}
