package meniscus.recorder.page;

import com.sun.management.ThreadMXBean;
import java.lang.management.ManagementFactory;
import java.util.HashMap;
import java.util.Map;
import meniscus.recorder.hostile.Onslaught;

/** What the threads of a page's doors have spent since they were last asked. */
final class PageThreads implements Onslaught.Meter {

  private final ThreadMXBean beans = (ThreadMXBean) ManagementFactory.getThreadMXBean();
  private final Map<Long, Onslaught.Cost> soFar = new HashMap<>();
  private Thread[] all = new Thread[200];

  @Override
  public void begin() {
    // What was done after the last answer had gone out belongs to that request: it is counted.
  }

  @Override
  public Onslaught.Cost end() {
    long nanos = 0;
    long bytes = 0;
    int count = Thread.enumerate(all);
    for (int i = 0; i < count; i++) {
      if (all[i].getName().matches("page \\d+|HTTP-Dispatcher")) {
        long id = all[i].getId();
        Onslaught.Cost now =
            new Onslaught.Cost(beans.getThreadCpuTime(id), beans.getThreadAllocatedBytes(id));
        Onslaught.Cost before = soFar.getOrDefault(id, new Onslaught.Cost(0, 0));
        nanos += Math.max(0, now.nanos() - before.nanos());
        bytes += Math.max(0, now.bytes() - before.bytes());
        soFar.put(id, now);
      }
    }
    return new Onslaught.Cost(nanos, bytes);
  }
}
