package meniscus.recorder.self;

import ch.qos.logback.classic.Level;
import ch.qos.logback.classic.Logger;
import ch.qos.logback.classic.LoggerContext;
import ch.qos.logback.classic.spi.Configurator;
import ch.qos.logback.classic.spi.ILoggingEvent;
import ch.qos.logback.classic.spi.ThrowableProxyUtil;
import ch.qos.logback.core.AppenderBase;
import ch.qos.logback.core.ConsoleAppender;
import ch.qos.logback.core.LayoutBase;
import ch.qos.logback.core.encoder.LayoutWrappingEncoder;
import ch.qos.logback.core.spi.ContextAwareBase;
import java.nio.charset.StandardCharsets;
import org.slf4j.LoggerFactory;

/**
 * The log: warnings to stderr and to the {@link LogFile}, everything with {@code --verbose} or
 * {@code -Dmeniscus.log=debug}. Set up in code, for reading it from a file takes a good part of the
 * time that a command needs to start.
 */
public final class ProgramLog extends ContextAwareBase implements Configurator {

  /** From now on everything is told, not only warnings. */
  public static void tellAll() {
    if (LoggerFactory.getLogger(org.slf4j.Logger.ROOT_LOGGER_NAME) instanceof Logger root) {
      root.setLevel(Level.DEBUG);
    }
  }

  @Override
  public ExecutionStatus configure(LoggerContext context) {
    Logger root = context.getLogger(org.slf4j.Logger.ROOT_LOGGER_NAME);
    root.setLevel(Level.toLevel(System.getProperty("meniscus.log"), Level.WARN));
    root.addAppender(stderr(context));
    root.addAppender(file(context, LogFile.own()));
    return ExecutionStatus.DO_NOT_INVOKE_NEXT_IF_ANY;
  }

  private static ConsoleAppender<ILoggingEvent> stderr(LoggerContext context) {
    LayoutWrappingEncoder<ILoggingEvent> encoder = new LayoutWrappingEncoder<>();
    encoder.setContext(context);
    encoder.setCharset(StandardCharsets.UTF_8);
    encoder.setLayout(new Line());
    encoder.start();
    ConsoleAppender<ILoggingEvent> appender = new ConsoleAppender<>();
    appender.setContext(context);
    appender.setName("err");
    appender.setTarget("System.err");
    appender.setEncoder(encoder);
    appender.start();
    return appender;
  }

  private static AppenderBase<ILoggingEvent> file(LoggerContext context, LogFile file) {
    AppenderBase<ILoggingEvent> appender =
        new AppenderBase<>() {
          @Override
          protected void append(ILoggingEvent event) {
            file.add(line(event));
          }
        };
    appender.setContext(context);
    appender.setName("file");
    appender.start();
    return appender;
  }

  /**
   * One event a line, and what was thrown below it. A pattern would load a hundred classes more.
   */
  private static final class Line extends LayoutBase<ILoggingEvent> {
    @Override
    public String doLayout(ILoggingEvent event) {
      return line(event);
    }
  }

  private static String line(ILoggingEvent event) {
    String logger = event.getLoggerName();
    StringBuilder line =
        new StringBuilder()
            .append(event.getLevel())
            .append(' ')
            .append(logger.substring(logger.lastIndexOf('.') + 1))
            .append(": ")
            .append(event.getFormattedMessage())
            .append(System.lineSeparator());
    if (event.getThrowableProxy() != null) {
      line.append(ThrowableProxyUtil.asString(event.getThrowableProxy()));
    }
    return line.toString();
  }
}
