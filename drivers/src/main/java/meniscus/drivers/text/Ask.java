package meniscus.drivers.text;

import java.util.Optional;
import meniscus.core.instrument.Request;

/**
 * One question and what its answer looks like.
 *
 * @param command without its end, to know its echo
 * @param request what is sent
 * @param grammar of the answer; without one no answer is awaited
 * @param firstChannel index of the answer's first channel among the instrument's
 */
record Ask(byte[] command, Request request, Optional<LineGrammar> grammar, int firstChannel) {}
