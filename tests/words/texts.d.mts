export interface Text {
  readonly where: string;
  readonly text: string;
}

export function productTexts(): Text[];
export function messageTexts(): Text[];
export function fixTexts(): Text[];
export function pageTexts(): Text[];
export function commentTexts(): Text[];
