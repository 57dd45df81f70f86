import type { ComponentChildren } from 'preact';

/** What opens a part: a rule, its name, and a line of notes or controls at the right. */
export function Head({
  name,
  id,
  children,
}: {
  name: string;
  id?: string;
  children?: ComponentChildren;
}) {
  return (
    <div class="head">
      <h2 id={id}>{name}</h2>
      {children}
    </div>
  );
}
