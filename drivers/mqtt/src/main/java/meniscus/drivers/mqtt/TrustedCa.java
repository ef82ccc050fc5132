package meniscus.drivers.mqtt;

import java.io.IOException;
import java.io.InputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.security.GeneralSecurityException;
import java.security.KeyStore;
import java.security.cert.Certificate;
import java.security.cert.CertificateFactory;
import java.security.cert.X509Certificate;
import javax.net.SocketFactory;
import javax.net.ssl.SSLContext;
import javax.net.ssl.SSLSocketFactory;
import javax.net.ssl.TrustManagerFactory;
import meniscus.core.refusal.Refusal;

/** Whose certificates are believed: a shop's own authority, in a PEM file, and nobody else's. */
final class TrustedCa {

  private TrustedCa() {}

  /** Java's own list. */
  static SocketFactory usual() {
    return SSLSocketFactory.getDefault();
  }

  /**
   * @throws Refusal when the file is no certificate
   */
  static SocketFactory of(Path file) {
    try (InputStream in = Files.newInputStream(file)) {
      KeyStore store = KeyStore.getInstance(KeyStore.getDefaultType());
      store.load(null, null);
      int number = 0;
      for (Certificate each : CertificateFactory.getInstance("X.509").generateCertificates(in)) {
        if (each instanceof X509Certificate) {
          store.setCertificateEntry("ca-" + number++, each);
        }
      }
      if (number == 0) {
        throw new Refusal(file + " holds no certificate");
      }
      TrustManagerFactory trust =
          TrustManagerFactory.getInstance(TrustManagerFactory.getDefaultAlgorithm());
      trust.init(store);
      SSLContext context = SSLContext.getInstance("TLS");
      context.init(null, trust.getTrustManagers(), null);
      return context.getSocketFactory();
    } catch (IOException | GeneralSecurityException e) {
      throw new Refusal(
          file + " cannot be read as the certificate of an authority (PEM): " + e.getMessage(), e);
    }
  }
}
