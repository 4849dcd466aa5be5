/** What a comparison says, ready for any screen: text as it was told, not yet cleaned for one of them. */
export interface ComparedRow {
  readonly what: string;
  readonly before?: string;
  readonly now?: string;
  readonly more?: string;
  readonly worse?: boolean;
}

export interface ComparedSection {
  /** For anchors. */
  readonly id: string;
  readonly title: string;
  readonly rows: readonly ComparedRow[];
}
