/** What stands beside the worksheet on a page, from what the page's file carries. */
import { asFiled, type OtherWorksheet, readOther } from './other.ts';
import type { Beside, Page } from './page.ts';
import { carriedRecord } from './record.ts';
import type { Session, SessionData } from './session.ts';

/** What a page carries beside the worksheet. */
export type Carried = Pick<SessionData, 'record' | 'other'>;

/** The other worksheet of a page: the one it carries, or its own as the file has it. */
export const otherOf = ({ other }: Carried, session: Session): OtherWorksheet =>
  other ? readOther(other, session.worksheet.profiles) : asFiled(session.name, session.filed);

/** What the content of a page is given beside the worksheet of a session. */
export const besideOf = (page: Page, carried: Carried, session: Session): Partial<Beside> => ({
  ...(page.takesRecord && carried.record && { record: carriedRecord(carried.record, session.evaluation) }),
  ...(page.takesOther && { other: otherOf(carried, session) }),
});
