/** Members with the same key together, in the order in which the keys are met first. */
export function groupedBy<Member, Key>(
  members: Iterable<Member>,
  keyOf: (member: Member) => Key,
): Map<Key, Member[]> {
  const groups = new Map<Key, Member[]>();
  for (const member of members) {
    const key = keyOf(member);
    const group = groups.get(key);
    if (group) group.push(member);
    else groups.set(key, [member]);
  }
  return groups;
}
