package meniscus.recorder.page;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.List;
import meniscus.recorder.outlet.OutletState;
import meniscus.recorder.outlet.Outlets;
import meniscus.recorder.page.http.LiveEvents;

/** How the bench's outlets stand, as open pages are told. */
final class OutletsShown {

  private final Outlets outlets;
  private final LiveEvents events;
  private List<String> notices = List.of();

  OutletsShown(Outlets outlets, LiveEvents events) {
    this.outlets = outlets;
    this.events = events;
  }

  ArrayNode json() {
    ArrayNode json = JsonNodeFactory.instance.arrayNode();
    for (OutletState state : outlets.states()) {
      ObjectNode one = json.addObject();
      state.addTo(one);
      one.put("notice", state.notice().orElse(""));
    }
    return json;
  }

  /**
   * Facts come and go by the hundred; what is to be seen changes seldom, and must not be missed by
   * a page that is just opening. One at a time: the last told is how they stand.
   */
  synchronized void changed() {
    List<String> now = outlets.states().stream().flatMap(state -> state.notice().stream()).toList();
    if (!now.equals(notices)) {
      notices = now;
      events.tell("outlets", json());
    }
  }
}
