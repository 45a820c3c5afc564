/** What stands beside the worksheet on a page, from what the page's file carries. */
import { otherOf } from './other.ts';
import type { Beside, Page } from './page.ts';
import { carriedRecord } from './record.ts';
import type { Session, SessionData } from './session.ts';

/** What a page carries beside the worksheet. */
export type Carried = Pick<SessionData, 'record' | 'other'>;

/** What the content of a page is given beside the worksheet of a session. */
export const besideOf = (page: Page, carried: Carried, session: Session): Partial<Beside> => ({
  ...(page.takesRecord && carried.record && { record: carriedRecord(carried.record, session.evaluation) }),
  ...(page.takesOther && { other: otherOf(carried.other, session) }),
});
