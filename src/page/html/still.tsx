/** The sheet as it stands in a file before its script has run: everything is shown, nothing can be written on it. */
import { renderToString } from 'preact-render-to-string';
import { chart } from '../chart/chart.ts';
import type { PageView } from '../desk.ts';
import { type Hands, HandsContext } from './prose.tsx';
import { SheetView } from './sheet.tsx';

/** Width in px of the plots in it. */
const width = 680;

/** The sheet as text; charts are drawn with the elements of `document`. */
export function stillSheet(view: PageView, document: Document): string {
  const nothing = (): undefined => undefined;
  const hands: Hands = {
    live: false,
    field: view.field,
    error: nothing,
    write: nothing,
    step: nothing,
    takeBack: nothing,
    focus: nothing,
    focused: undefined,
    save: nothing,
    act: nothing,
    href: (name) => `${name}.html`,
  };
  return renderToString(
    <HandsContext.Provider value={hands}>
      <SheetView
        view={view}
        drawing={{ still: (block) => chart(block, width, document).svg.outerHTML }}
        actions={[]}
      />
    </HandsContext.Provider>,
  );
}
