/** Groups members by key; the groups are in the order in which their keys first occur. */
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
