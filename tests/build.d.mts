export function buildIfStale(): string;
