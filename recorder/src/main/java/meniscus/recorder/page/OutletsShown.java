package meniscus.recorder.page;

import com.fasterxml.jackson.databind.node.ArrayNode;
import com.fasterxml.jackson.databind.node.JsonNodeFactory;
import com.fasterxml.jackson.databind.node.ObjectNode;
import java.util.List;
import java.util.concurrent.atomic.AtomicReference;
import meniscus.recorder.outlet.OutletState;
import meniscus.recorder.outlet.Outlets;
import meniscus.recorder.page.http.LiveEvents;

/** How the bench's outlets stand, as open pages are told. */
final class OutletsShown {

  private final Outlets outlets;
  private final LiveEvents events;
  private final AtomicReference<List<String>> notices = new AtomicReference<>(List.of());

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

  /** Facts come and go by the hundred; what is to be seen changes seldom. */
  void changed() {
    List<String> now = outlets.states().stream().flatMap(state -> state.notice().stream()).toList();
    if (!now.equals(notices.getAndSet(now))) {
      events.show("outlets", this::json);
    }
  }
}
